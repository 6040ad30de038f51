"""Drawings of a wall and its braces: one model in inches, written as pictures or as DXF.

model     lines, areas, words and dimensions, and the paper they lie on
place     where words go so that none overlaps another
elevation the wall from the brace side
plan      the floor, the feet and the zone
section   one brace from the side, with its angles
details   head and foot, to scale
picture   SVG, PNG and PDF; the one module that draws with matplotlib
dxf       DXF through ezdxf
"""
