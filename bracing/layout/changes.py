"""What else may be declared of a wall that is to be built, and each of it as it stands in the wall file.

The rows stand in the table of remedies, in the order of how soon a crew would rather do it. A row that is a remedy of a
wall that stands changes the same field by the same steps; a few make their steps from the wall itself.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any, TypedDict

from attrs import evolve, field, frozen

from bracing.chain.links import LinkId
from bracing.job.brace import Stock
from bracing.job.fasteners import fastener
from bracing.job.fields import KIND, PARTS, fields_by_key, place_at, value_at, with_value
from bracing.job.job import Job
from bracing.layout.needed import CHOSEN, TIES, UNDER, USUAL_STOCK, choices, no_part
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.units import as_filed, force, length
from bracing.work.remedies import remedies

STOCK, KEEP_OUT, OPENING = "kit.stock", "floor.keep_out", "wall.opening"
HEADERS = ("2-2x10", "2-2x12")
Fields = Mapping[str, Any]  # by dotted path, what a file has there

SetJson = TypedDict("SetJson", {"field": str, "value": object})
_ChangeKeys = TypedDict("_ChangeKeys", {"change": Said, "also": list[SetJson]})


class ChangeJson(SetJson, _ChangeKeys):
    """What `Redeclared` gives: a field with its value, and more of them where one alone is not the change."""


@frozen(eq=False)
class Redeclared:
    """A wall of which something is declared otherwise.

    Attributes:
        said: what, a part a change, as a crew says it.
        fields: what a file then has, by dotted path.
        job: the job with it.
        mends: links it mends.
        answers: what else may stop every layout that it does away with: the ids of its words.
    """

    said: tuple[Said, ...]
    fields: Fields
    job: Job = field(repr=False)
    mends: tuple[LinkId, ...] = ()
    answers: tuple[str, ...] = ()

    def with_too(self, other: Redeclared) -> Redeclared:
        """Give it with another change of the same wall made too.

        Args:
            other: the other.
        """
        fields = {**self.fields, **other.fields}
        made, mends = _declared(self.job, other.fields), (*self.mends, *other.mends)
        return Redeclared((*self.said, *other.said), fields, made, mends, (*self.answers, *other.answers))

    def on(self, job: Job) -> Job:
        """Give another job of the same wall, such as with braces, with the change.

        Args:
            job: the job.
        """
        return _declared(job, self.fields)

    def to_dict(self) -> ChangeJson:
        """Give it as a JSON object."""
        first, *also = self.filed
        return {"change": self.words, **first, "also": also}

    @property
    def words(self) -> Said:
        """What is changed."""
        return self.said[0] if len(self.said) == 1 else Said("changes", parts=self.said)

    @property
    def filed(self) -> list[SetJson]:
        """What to put into the file: each field, or the whole of a table where several of its fields change."""
        by_table: dict[str, list[str]] = {}
        for path in self.fields:
            by_table.setdefault(path.split(".")[0], []).append(path)
        return [self._of_table(paths) for paths in by_table.values()]

    def _of_table(self, paths: list[str]) -> SetJson:
        if len(paths) == 1:
            return {"field": paths[0], "value": self.fields[paths[0]]}
        ways = [[re.sub(r"\[[0-9]+\]", "[]", step) for step in path.split(".")[:-1]] for path in paths]
        table = ".".join(steps[0] for steps in itertools.takewhile(_alike, zip(*ways, strict=False)))
        if table.endswith("[]"):
            return {"field": table[:-2], "value": _rows(value_at(self.job, table[:-2]))}
        return {"field": table, "value": _filed(self.job, table)}


Steps = tuple[Redeclared, ...]  # of one change, the least first


def together(some: list[Redeclared]) -> Redeclared:
    """Give several changes of one wall as one.

    Args:
        some: the changes; at least one.
    """
    whole, *others = some
    for other in others:
        whole = whole.with_too(other)
    return whole


def _alike(steps: tuple[str, ...]) -> bool:
    return len({*steps}) == 1


def _filed(job: Job, table: str) -> dict[str, object]:
    """All that a file declares under a table, as it stands there."""
    found: dict[str, Any] = {}
    for path in sorted(job.declared):
        if not path.startswith(f"{table}."):
            continue
        *way, last = path[len(table) + 1 :].split(".")
        listed = next((step.partition("[")[0] for step in (*way, last) if "[" in step), None)
        here = found
        for step in way:
            if step.endswith("]"):
                break
            here = here.setdefault(step, {})
        if listed is not None:
            here[listed] = _rows(value_at(job, path.partition("[")[0]))
        else:
            here[last] = as_filed(value_at(job, path), place_at(Job, path).kind)
    return found


def _rows(parts: object) -> list[dict[str, object]]:
    """Parts of one kind, as a file has them."""
    assert isinstance(parts, tuple)
    return [
        {
            key: as_filed(getattr(part, one.name), one.metadata[KIND])
            for key, one in fields_by_key(type(part)).items()
            if one.metadata[KIND] not in PARTS and getattr(part, one.name) not in (None, one.default)
        }
        for part in parts
    ]


# -- the table -------------------------------------------------------------------------------------------


@frozen
class Row:
    """One row of the table.

    Attributes:
        kind: what it is called.
        steps: in order, the least first.
        made: what makes its steps from the wall; empty where they stand in the table.
        mends: links it mends.
        answers: what else stops layouts that it does away with: the ids of its words.
        when: when it can be declared.
    """

    kind: str
    steps: tuple[Fields, ...]
    made: str
    mends: tuple[LinkId, ...]
    answers: tuple[str, ...]
    when: str


@cache
def rows() -> tuple[Row, ...]:
    """Give every row of the table, in order."""
    found = []
    for row in shipped("remedies")["change"]:
        steps, mends = row.get("steps", ()), tuple(map(LinkId, row.get("mends", ())))
        if "remedy" in row:
            remedy = remedies()[row["remedy"]]
            steps, mends = [{remedy.path: value} for value in remedy.steps], remedy.mends
        answers = tuple(row.get("answers", ()))
        found.append(Row(row["kind"], tuple(steps), row.get("made", ""), mends, answers, row.get("when", "")))
    return tuple(found)


def _nail(job: Job, path: str) -> bool:
    now = value_at(job, path)
    return isinstance(now, str) and fastener(now, job.fasteners).kind == "nail"


WHEN: dict[str, Callable[[Job, str], bool]] = {
    "": lambda *_: True,
    "nail": _nail,
    "nail into a deck": lambda job, path: job.floor.kind == "deck" and _nail(job, path),
    "deck": lambda job, _: job.floor.kind == "deck",
    "slab": lambda job, _: job.floor.kind == "slab",
    "ground": lambda job, _: job.floor.kind == "ground",
    "not slab": lambda job, _: job.floor.kind != "slab",
    "not ground": lambda job, _: job.floor.kind != "ground",
    "plumb head": lambda job, _: job.kit.head.joint == "plumb",
}


def _more_sticks(job: Job) -> Iterator[Fields]:
    """The sticks on hand, as many of each as it takes."""
    if any(stock.count is not None for stock in job.kit.stock):
        yield {STOCK: _rows(tuple({evolve(stock, count=None): None for stock in job.kit.stock}))}


def _sticks(job: Job) -> Iterator[Fields]:
    """One usual stick beside those on hand: longer ones of a size that is there, then of the bigger size."""
    mine = job.kit.stock
    longest = {stock.size: max(s.length for s in mine if s.size == stock.size) for stock in mine}
    for stick in USUAL_STOCK:
        if mine and stick.length > longest.get(stick.size, 0.0):
            yield {STOCK: _rows((*mine, stick))}


def _keep_outs(job: Job) -> Iterator[Fields]:
    """Everything on the floor out of the way."""
    if job.floor.keep_outs:
        yield {KEEP_OUT: []}


def _uncovered(job: Job) -> Iterator[Fields]:
    """Openings left open, so that the wind blows through: the largest, then all."""
    covered = [(o.width * o.height, k) for k, o in enumerate(job.wall.openings) if o.covered]
    if covered:
        yield {f"{OPENING}[{max(covered, key=lambda pair: pair[0])[1]}].covered": False}
    if len(covered) > 1:
        yield {f"{OPENING}[{k}].covered": False for _, k in covered}


def _headers(job: Job) -> Iterator[Fields]:
    """The headers of the widest openings deeper: bent across the wall they are as wide as all their plies."""
    for size in HEADERS:
        weaker = [k for k, o in enumerate(job.wall.openings) if o.wide and o.header != size]
        if weaker:
            yield {f"{OPENING}[{k}].header": size for k in weaker}


MADE: dict[str, Callable[[Job], Iterator[Fields]]] = {
    "more sticks": _more_sticks, "sticks": _sticks, "keep-outs": _keep_outs, "uncovered": _uncovered,
    "headers": _headers,
}  # fmt: skip


def changes(job: Job, row: Row) -> tuple[Steps, ...]:
    """Give what a row changes of a wall: for each thing it changes its steps, the least first.

    Args:
        job: the job as declared, no braces.
        row: the row.
    """
    if row.made:
        steps = [*MADE[row.made](job)]
    else:
        tried = [*choices(job)]
        steps = [kept for step in row.steps if (kept := _kept(job, tried, row, step))]
    made = tuple(
        Redeclared((_words(row, step, now),), step, now, row.mends, row.answers)
        for step in steps
        for now in (_declared(job, step),)
    )
    if row.made != "sticks":
        return (made,) if made else ()
    by_size: dict[str, list[Redeclared]] = {}
    for each in made:
        by_size.setdefault(each.job.kit.stock[-1].size, []).append(each)
    return tuple(map(tuple, by_size.values()))


def every_change(job: Job) -> list[Steps]:
    """Give all that may be changed of a wall, as soon as a crew would rather do it; what two rows say alike once.

    Args:
        job: the job as declared, no braces.
    """
    found: list[Steps] = []
    for row in rows():
        for steps in changes(job, row):
            if not any(other[-1].fields == steps[-1].fields for other in found):
                found.append(steps)
    return found


def _kept(job: Job, tried: list[Job], row: Row, step: Fields) -> Fields:
    """The fields of a step that go further than what is declared, or than what a layout chooses of itself."""
    kept = {}
    for path, value in step.items():
        after, now = _read(path, value), [value_at(each, path) for each in tried]
        searched = (
            path.startswith((TIES, *UNDER)) or path in no_part(job) or (path in CHOSEN and after in now)
        )
        if not WHEN[row.when](tried[0], path) or (path not in job.declared and searched):
            continue
        mine = now[0]
        more = mine is not None and mine < after if isinstance(after, int | float) else after != mine  # type: ignore[operator]
        if more:
            kept[path] = value
    return kept


def _read(path: str, value: object) -> object:
    kind = place_at(Job, path).kind
    if kind == "parts":
        return value
    readers: dict[str, Callable[[object], float]] = {"length": length, "force": force}
    return readers[kind](value) if kind in readers else value


def _declared(job: Job, step: Fields) -> Job:
    """The job as the file would then give it."""
    for path, value in step.items():
        if path == STOCK:
            after: Any = tuple(Stock(**{**row, "length": length(row["length"])}) for row in value)
            dropped = {one for one in job.declared if one.startswith(f"{STOCK}[")}
            names = {f"{STOCK}[{k}].{key}" for k, row in enumerate(value) for key in row}
        else:
            after, dropped, names = _read(path, value), set(), {path}
            after = () if path == KEEP_OUT else after
        job = evolve(with_value(job, path, after), declared=(job.declared - dropped) | names)
    return job


def _words(row: Row, step: Fields, job: Job) -> Said:
    values: dict[str, object] = {}
    if row.made == "sticks":
        stick = job.kit.stock[-1]
        values = {"size": stick.size, "length": Quantity(stick.length, Kind.FEET)}
    else:
        path = next((path for path in step if not isinstance(step[path], bool)), "")
        value = _read(path, step[path]) if path else ""
        kinds = {"length": Kind.TAPE, "force": Kind.LOAD}
        if isinstance(value, float):
            values["value"] = Quantity(value, kinds[place_at(Job, path).kind])
        elif isinstance(value, str | int):
            values["value"] = str(value)
        loads = [_read(name, each) for name, each in step.items() if place_at(Job, name).kind == "force"]
        if loads:
            values["load"] = Quantity(float(loads[0]), Kind.LOAD)  # type: ignore[arg-type]
    return Said.by(f"change-{row.kind.replace(' ', '-')}", values)
