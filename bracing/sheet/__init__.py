"""The page the crew holds: one self-contained file for phone and paper.

facts     what the page says, gathered once
lists     release, evening, after-the-blow and stop-work lists, from a table
rows      tables of the page as text
content   everything the template needs, as text and rows of text
page      template and styles into HTML; the same into PDF
writing   one wall into the file asked for
folder    a job of many walls: an index worst first, and one PDF
"""
