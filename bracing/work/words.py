"""Counts in plain words."""

from __future__ import annotations

from bracing.job.fasteners import Fastener, fastener

_WORDS = ("screw", "nail", "lag", "bolt", "anchor", "strap", "block", "stud", "stake", "weight")


def counted(count: int, name: str, own: tuple[Fastener, ...]) -> str:
    """Say how many of a fastener.

    Args:
        count: how many.
        name: the fastener.
        own: the user's own fasteners.

    Example:
        >>> counted(8, "structural screw 0.22x3", ()), counted(2, "16d common", ()), counted(1, "gun nail 0.131x3", ())
        ('8 structural screws 0.22x3', '2 16d common nails', '1 gun nail 0.131x3')
    """
    words = name.split()
    named = next((k for k, word in enumerate(words) if word in _WORDS), None)
    if named is None:
        what = "nail" if fastener(name, own).kind == "nail" else "fastener"
        words, named = [*words, what], len(words)
    if count != 1:
        words[named] += "s"
    return f"{count} {' '.join(words)}"
