"""The sums that govern, step by step, so that a hand calculator gets the same.

steps      one step: words, the sum as arithmetic, its value, its clause
wind       gust to pressure to the force on the wall
joints     one fastener: yield mode, withdrawal, pull-through, and their factors
strengths  what each kind of link may carry
answer     the governing link of every kind, with all of it
"""

from bracing.trace.answer import Trace, Traced, trace
from bracing.trace.steps import Step

__all__ = ["Step", "Trace", "Traced", "trace"]
