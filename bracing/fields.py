"""How a field of an input class says what it holds: reading, schemas and the manual look it up here."""

from __future__ import annotations

from typing import Any

from attrs import NOTHING, field

ONE_OF = "one_of"
KIND = "kind"
KEY = "key"
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
        kind: a quantity ("length", "speed", "force", "line load", "time"), "count", "number", "share" (a
            number or a percentage), "flag", "word" (one of a few), "name" (free text), a name that is in a
            table ("size", "header", "species", "grade", "fastener", "deck", "soil", "layers"), "point"
            (x, y), "points", "part" (another input class) or "parts" (a list of one).
        about: one line for the manual: what it is, and its low default.
        default: the low default; none means the file must give it.
        one_of: the words allowed, for kind "word".
        least: least value allowed, in base units.
        most: greatest value allowed, in base units; of "parts", how many.

    Returns:
        The attrs field.
    """
    metadata = {KIND: kind, HELP: about, ONE_OF: one_of, LEAST: least, MOST: most, KEY: None}
    return field(default=default, metadata=metadata)


def keyed(
    key: str,
    kind: str,
    about: str,
    *,
    default: Any = NOTHING,  # noqa: ANN401  (any field value)
    most: float | None = None,
) -> Any:  # noqa: ANN401  (attrs' own signature)
    """Declare a field whose key in the file is not its name, such as "opening" for the tuple of openings.

    Args:
        key: the key in the file.
        kind: as for declared().
        about: one line for the manual.
        default: the low default; none means the file must give it.
        most: greatest value allowed, in base units; of "parts", how many.

    Returns:
        The attrs field.
    """
    metadata = {KIND: kind, HELP: about, ONE_OF: (), LEAST: None, MOST: most, KEY: key}
    return field(default=default, metadata=metadata)
