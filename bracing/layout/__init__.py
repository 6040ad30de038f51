"""`layout`: from the middle outward, then proved least over a printed finite grid.

needed      what must be so or be added: the choices nobody declared, and what mending asked for
spots       where a foot may stand, and why not
candidates  what a brace may be on each stud, for every scheme all braces share
grid        the candidates of a scheme on the wall, as the screen reads them
space       all that is searched: every scheme with its pool
screen      many layouts at once at one gust
outward     from the middle outward, and a quick look for fewer
search      every layout of one number of braces that can stand, over the grid
costs       what layouts take in work, and which is the better
looking     a search going on: the best so far, and what it spends
steps       the search for the least work and the fewest braces, step after step
mending     more fasteners, nails or straps, until the chain is within
fitting     which fasteners its joints take where nobody declared any
least       the plan of least work or of the fewest braces, or why none stands
plan        the answer
changes     what else may be declared of a wall
nearest     where no layout reaches the gust asked: the best there is, and what would do
on_hand     the best layout of what is in the truck
sticks      every stick for one height and gust
"""

from bracing.layout.plan import LayoutResult, lay_out

__all__ = ["LayoutResult", "lay_out"]
