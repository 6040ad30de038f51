"""What every output says at its end, and the statement printed beside a limit gust."""

from __future__ import annotations

CAUTIONS: tuple[str, ...] = (
    "A calculation from the facts typed in; not a stamped design. Local rules and a licensed engineer govern.",
    "Covers wind across this wall as drawn. Leaves out racking, trusses, stacked loads, impact and the floor below.",
    "Void if anything differs. Wind at the wall can exceed the forecast; thunderstorm gusts can exceed every number.",
    "Clear both sides and the house before the clear-out gust. Never shelter beside the wall.",
)

LIMIT_STATEMENT = (
    "At this gust the weakest counted link reaches its allowable value. It is not the gust that takes the wall down; "
    "one missed or split joint can go below it."
)


def caution_text() -> str:
    """Give the cautions as one paragraph, under 90 words.

    Example:
        >>> len(caution_text().split()) < 90
        True
    """
    return " ".join(CAUTIONS)
