"""The page the crew holds: one self-contained file for phone and paper.

facts     what the page says, gathered once
rows      tables of the page as text
writing   what the template needs, template and styles into HTML, the same into PDF or CSV
folder    a job of many walls: an index worst first, and one PDF
"""
