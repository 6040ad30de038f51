"""Strengths of wood members: columns, beams, both together, stiffened sticks, and a brace as a member.

Loads are not known here. Every function takes floats (the published equations take arrays too) and gives a
strength or a ratio of one.
"""
