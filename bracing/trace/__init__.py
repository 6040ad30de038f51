"""The sums that govern, step by step, so that a hand calculator gets the same.

steps   one step: words, the sum as arithmetic, its value, its clause; and those of a sum's tree
answer  the governing link of every kind, with all of it
"""

from bracing.trace.answer import Trace, Traced, trace
from bracing.trace.steps import Step

__all__ = ["Step", "Trace", "Traced", "trace"]
