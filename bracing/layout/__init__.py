"""`layout`: from the middle outward, then proved least over a printed finite grid.

choices   what the crew may choose is chosen, and listed under "needed too"
spots     where a foot may stand, and why not
makes     what a brace may be on each stud
batch     the whole chain for many layouts at once
walk      the walk from the middle outward
search    the least number, over the grid or until the budget runs out
finish    fastener counts, straps, order, hook line, what to buy
plan      the answer
"""

from bracing.layout.plan import LayoutResult, lay_out

__all__ = ["LayoutResult", "lay_out"]
