"""`layout`: from the middle outward, then proved least over a printed finite grid.

needed      what must be so or be added: the choices nobody declared, and what mending asked for
spots       where a foot may stand, and why not
candidates  what a brace may be on each stud, for every scheme all braces share
grid        the candidates of each scheme on the wall, as the screen reads them
screen      many layouts at once at one gust
outward     from the middle outward, and a quick look for fewer
search      the least number, over the grid or until the budget runs out
mending     more fasteners, nails or straps, until the chain is within
least       the fewest braces that stand, or why none do
plan        the answer
changes     what else may be declared of a wall
nearest     where no layout reaches the gust asked: the best there is, and what would do
on_hand     the best layout of what is in the truck
sticks      every stick for one height and gust
"""

from bracing.layout.plan import LayoutResult, lay_out

__all__ = ["LayoutResult", "lay_out"]
