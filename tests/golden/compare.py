"""Two answers held against each other, key by key, and what differs as a person would read it.

A number with a fraction may differ by a millionth, for processors differ in the last digits. Whole numbers, words,
verdicts and the order of lists may not. A key more is allowed; a key that is lost is not, nor a list of another length.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

RELATIVE = 1e-6
ABSOLUTE = (
    1e-6  # of a number near nothing: a millionth of a pound, a foot or a mph is what solving leaves over
)
# What an item of a list goes by, where it has it: so that one more item does not make all after it look changed.
GOES_BY = (
    "link", "joint", "mark", "what", "part", "field", "case", "direction", "plates", "slip", "wind", "gap", "piece",
    "stock", "ties", "stiffener", "event", "after", "rung", "side", "name", "fastener", "file", "tilt_deg", "stick",
)  # fmt: skip
EXAMPLES_SHOWN = 3
LIMITS = ("limit_gust_mph", "clear_out_gust_mph", "limit_gust_one_missing_mph")


class Difference(NamedTuple):
    """One thing that is not as it was recorded."""

    command: str
    subject: str
    path: str
    was: object
    now: object
    why: str

    def line(self) -> str:
        """As one line."""
        return (
            f"{self.subject} {self.command} {self.path}: {self.why}: {_short(self.was)} -> {_short(self.now)}"
        )


def differences(command: str, subject: str, was: Any, now: Any, path: str = "") -> Iterator[Difference]:
    """What differs, in the order of the recorded answer."""

    def told(why: str) -> Difference:
        return Difference(command, subject, path or "(all)", was, now, why)

    if isinstance(was, dict) and isinstance(now, dict):
        for key, value in was.items():
            inner = f"{path}.{key}" if path else key
            if key in now:
                yield from differences(command, subject, value, now[key], inner)
            else:
                yield Difference(command, subject, inner, value, "(no such key)", "key lost")
    elif isinstance(was, list) and isinstance(now, list):
        yield from _of_lists(command, subject, was, now, path)
    elif _is_number(was) and _is_number(now):
        if not _near(was, now):
            yield told("number moved")
    elif type(was) is not type(now) or was != now:
        yield told("changed")


def _of_lists(command: str, subject: str, was: list[Any], now: list[Any], path: str) -> Iterator[Difference]:
    before, after = _by_name(was), _by_name(now)
    if len(was) != len(now):
        yield Difference(command, subject, f"{path}[]", len(was), len(now), "items of the list")
    for name, value in before.items():
        if name in after:
            yield from differences(command, subject, value, after[name], f"{path}[{name}]")
        else:
            yield Difference(command, subject, f"{path}[{name}]", value, "(no such item)", "item lost")
    for name in after:
        if name not in before:
            yield Difference(command, subject, f"{path}[{name}]", "(no such item)", after[name], "item new")
    shared = [name for name in before if name in after], [name for name in after if name in before]
    if shared[0] != shared[1]:
        first = next(pair for pair in zip(*shared, strict=True) if pair[0] != pair[1])
        yield Difference(command, subject, f"{path}[]", *first, "order")


def _by_name(items: list[Any]) -> dict[str, Any]:
    """The items by what they go by; those that go by nothing by their place."""
    found: dict[str, Any] = {}
    seen: Counter[str] = Counter()
    for place, item in enumerate(items):
        words = [str(item[key]) for key in GOES_BY if key in item] if isinstance(item, dict) else []
        name = " ".join(words) or str(place)
        seen[name] += 1
        found[name if seen[name] == 1 else f"{name} #{seen[name]}"] = item
    return found


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _near(was: float, now: float) -> bool:
    if isinstance(was, int) and isinstance(now, int):
        return was == now
    return abs(was - now) <= max(ABSOLUTE, RELATIVE * max(abs(was), abs(now)))


# -- as a person reads it ----------------------------------------------------------------------------------------------


def report(found: Iterable[Difference], *, every: bool = False) -> str:
    """The limits that moved, wall by wall; then the rest, alike things together, or every one of them."""
    found = list(found)
    if not found:
        return "Everything is as recorded."
    lines = _limit_lines(found)
    if every:
        return "\n".join((*lines, "", *(difference.line() for difference in found)))
    alike: dict[tuple[str, str, str], list[Difference]] = defaultdict(list)
    for difference in found:
        alike[difference.command, _folded(difference.path), difference.why].append(difference)
    walls = len({difference.subject for difference in found})
    lines += ["", f"{len(found)} differences on {walls} walls, alike ones together (--all lists every one):"]
    for (command, path, why), group in sorted(alike.items(), key=lambda pair: -len(pair[1])):
        on = len({difference.subject for difference in group})
        lines.append(f"{command}: {path}: {why}, {len(group)} times on {on} walls{_largest(group)}")
        lines += [f"    {difference.line()}" for difference in group[:EXAMPLES_SHOWN]]
    return "\n".join(lines)


def _limit_lines(found: list[Difference]) -> list[str]:
    moved: dict[str, list[str]] = defaultdict(list)
    for difference in found:
        key = difference.path.removeprefix("answer.")
        if difference.command == "check" and (key in LIMITS or key.startswith("gives_first.")):
            moved[difference.subject].append(f"{key} {_short(difference.was)} -> {_short(difference.now)}")
    if not moved:
        return ["No limit gust, clear-out gust, one missing or first link has moved."]
    return ["Limits:", *(f"  {subject}: {'; '.join(parts)}" for subject, parts in sorted(moved.items()))]


def _folded(path: str) -> str:
    """The path without which item of a list it is, so that alike things come together."""
    parts = []
    for part in path.split("["):
        _, bracket, rest = part.rpartition("]")
        parts.append(rest if bracket else part)
    return "[*]".join(parts)


def _largest(group: list[Difference]) -> str:
    shares = [
        abs(d.now - d.was) / max(abs(d.was), ABSOLUTE)  # type: ignore[operator, arg-type]
        for d in group
        if _is_number(d.was) and _is_number(d.now)
    ]
    return f", at most by {100.0 * max(shares):.2g}%" if shares else ""


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 90 else text[:87] + "..."
