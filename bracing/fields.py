"""How a field of an input class says what it holds: reading, schemas and the manual look it up here."""

from __future__ import annotations

from typing import Any

from attrs import NOTHING, field

ONE_OF = "one_of"
KIND = "kind"
HELP = "help"
LEAST = "least"
MOST = "most"


def declared(
    kind: str,
    about: str,
    *,
    default: Any = NOTHING,  # noqa: ANN401  (any field value)
    one_of: tuple[str, ...] = (),
    least: float | None = None,
    most: float | None = None,
) -> Any:  # noqa: ANN401  (attrs' own signature)
    """Declare one field of an input class.

    Args:
        kind: "length", "speed", "force", "pressure", "time", "count", "number", "word", "name", "flag",
            "point" (x, y), "points", "words" or "part" (another input class).
        about: one line for the manual: what it is, and its low default.
        default: the low default; none means the file must give it.
        one_of: the words allowed, for kind "word".
        least: least value allowed, in base units.
        most: greatest value allowed, in base units.

    Returns:
        The attrs field.
    """
    metadata = {KIND: kind, HELP: about, ONE_OF: one_of, LEAST: least, MOST: most}
    return field(default=default, metadata=metadata)
