"""The sums that govern, step by step, so that a hand calculator gets the same.

steps      one step: words, the sum as arithmetic, its value, its clause; and those of a sum's tree
wind       gust to pressure to the force on the wall
cases      a link to be traced, and so many fasteners of a kind
sticks     a brace as a column, alone or as a T, and in pull
ends       ends of a brace without fasteners: stud's edge, joist, ground
strengths  what each kind of link may carry
plate      shear and lift together on the bottom plate's fasteners
lifted     bending and a force along together on a braced stud
answer     the governing link of every kind, with all of it
"""

from bracing.trace.answer import Trace, Traced, trace
from bracing.trace.steps import Step

__all__ = ["Step", "Trace", "Traced", "trace"]
