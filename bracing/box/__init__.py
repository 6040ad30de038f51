"""Walls joined at their corners as one system: what each takes of the others, and which brace may leave.

A wall that runs across the wind is held by its braces and, at a corner that counts, by the wall it meets, which gives
along itself; that wall is held the same way by the first. `walls` puts a wall's panel and its corner nodes together,
`system` solves all that run one way at once, `links` checks each wall with what its corners bring, `leaving` takes
braces out, one at a time.
"""
