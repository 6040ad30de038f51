"""Drawings of a wall and its braces: one model in inches, written as pictures or as DXF.

model      lines, areas, words and dimensions, the paper they lie on, and where words go so that none overlaps another
elevation  the wall from the brace side
plan       the floor, the feet and the zone
details    one brace from the side with its angles; head and foot, to scale
graphs     the graphs of a lift
picture    into files: SVG, PNG, PDF and DXF
"""
