"""A walk along a wall beside its braces: what it counts on is looked at, and braces that no file names are found.

Braces are asked about in `stages.walk`; what is asked here is what `Job.to_see` gives. What nobody looked at leaves the
wall a plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import count

from attrs import evolve, frozen

from bracing.errors import InputError, MissingDataError
from bracing.job.brace import Brace
from bracing.job.fasteners import fastener
from bracing.job.fields import KIND, Look, place_at, value_at, with_value
from bracing.job.job import Found, FoundFact, Job
from bracing.reading import answers as reading
from bracing.reading import spoken
from bracing.reading.values import Faults, Reading, read_value, structure
from bracing.reading.writing import ROW, tried, written
from bracing.said import Kind, Quantity, Said
from bracing.stages.walk import (
    ANSWERS,
    BACK,
    HELP,
    Answer,
    Changes,
    Journal,
    Looked,
    Walk,
    fact_name,
    fact_value,
    off_the_wall,
    planned_braces,
    where_another_is,
)

AS_PLANNED = ("", "as planned", "seen", "yes", "ok")
NOT_SEEN = ("not seen", "not looked", "not looked at", "don't know", "not known", "unknown")
NOTHING = ("none", "missing", "not there", "gone")
KEYED = "\n"  # before the key of an answer about no brace: the mark of a brace has no such letter
MOST_TIES = 99
TIED = "brace["  # of a brace, tie rows are looked at once for all
EXTRA = "up, and in no plan"
NO_MORE = ("", "no", *NOTHING)
SUCH = (216.0, 132.0, 108.0)  # stud, head and foot of a brace somebody might find
LOOKS = Said("walk-looks", spacing=Quantity(24.0, Kind.INCHES))
Ask = Callable[[Said], str]
Say = Callable[[Said], None]


@frozen
class Seen:
    """One thing to look at.

    Attributes:
        look: what.
        paths: the declared fields it is about.
        number: which of several, from 1; 0 where it is the only one.
    """

    look: Look
    paths: tuple[str, ...]
    number: int = 0

    @property
    def key(self) -> str:
        """Its key among the answers."""
        return f"{KEYED}{self.look} {self.number}"

    @property
    def named(self) -> Said:
        """What it is called."""
        what = Said.by(self.look, {})
        return Said("walk-number", what=what, number=self.number) if self.number else what

    @property
    def names(self) -> tuple[str, ...]:
        """What its fields are called, each name once: the ties of several braces are said once, of all of them."""
        return tuple(dict.fromkeys(map(fact_name, self.paths)))

    def facts(self, job: Job) -> tuple[Said, ...]:
        """Say what should be there, each once.

        Args:
            job: the wall.
        """
        facts = (
            Said("walk-fact", name=fact_name(path), value=fact_value(path, value_at(job, path)))
            for path in self.paths
        )
        return tuple(dict.fromkeys(facts))


def things_to_see(job: Job) -> tuple[Seen, ...]:
    """Give what is looked at, in the order of the walk; of openings and rows one after another.

    Args:
        job: the wall.
    """
    found = []
    for look, paths in job.to_see.items():
        by_thing: dict[int, list[str]] = {}
        for path in paths:
            bracket, rest = ("", "") if path.startswith(TIED) else path.partition("[")[1:]
            by_thing.setdefault(int(rest.partition("]")[0]) + 1 if bracket else 0, []).append(path)
        found += [Seen(look, tuple(each), number) for number, each in sorted(by_thing.items())]
    return tuple(found)


def facts_found(job: Job, changes: Changes) -> tuple[FoundFact, ...]:
    """Give what differs from the plan; what a walk before found, and this one left as it is, stays found.

    Args:
        job: the wall as it was in the file.
        changes: what this walk found otherwise than the file.
    """
    before = {} if job.built is None else {one.field: one for one in job.built.facts}
    rows = {path: one for path, one in before.items() if path not in changes}
    for path, value in changes.items():
        planned = before[path].planned if path in before else as_text(path, value_at(job, path))
        there = NOTHING[0] if value is None else as_text(path, value)
        if there != planned:
            rows[path] = FoundFact(path, there, planned)
    return tuple(rows.values())


def as_text(path: str, value: object) -> str:
    """Write the value of a field as it would stand in a file.

    Args:
        path: its dotted path.
        value: in base units.
    """
    if isinstance(value, bool):
        return reading.YES[0] if value else reading.NO[0]
    if value is None or value == ():
        return NOTHING[0]
    if isinstance(value, tuple):
        return ", ".join(map(str, value))[:80]
    return str(written(value, place_at(Job, path).kind))


def planned_facts(job: Job) -> Job:
    """Give a wall with what a walk before found otherwise put back as it was planned.

    Args:
        job: the wall as its file has it.
    """
    for one in job.built.facts if job.built else ():
        if one.planned != NOTHING[0] and not one.field.startswith(ROW):
            try:
                job = with_value(job, one.field, read_fact(job, one.field, one.planned))
                job = evolve(job, declared=job.declared | {one.field})
            except (InputError, LookupError):
                continue  # somebody has written the file since: there is no such place any more
    return job


# -- one answer ------------------------------------------------------------------------------------------


def read_look(job: Job, seen: Seen, text: str) -> Changes | Said | None:
    """Read what was found of one thing.

    Args:
        job: the wall.
        seen: what is looked at.
        text: as typed; nothing means as planned.

    Returns:
        What differs from the file; None where nobody looked; of what is no answer, what is expected instead.
    """
    words = " ".join(text.split())
    if words.lower() in AS_PLANNED:
        return {}
    if words.lower() in NOT_SEEN:
        return None
    if words.lower() in NOTHING:
        return dict.fromkeys(seen.paths)
    names = {fact_name(path): path for path in sorted(seen.paths, key=len, reverse=True)}
    ties = [path for path in seen.paths if path.startswith(TIED)]  # one answer for all braces
    changes: dict[str, object] = {}
    for piece in _pieces(words, names):
        name = next((name for name in names if piece.lower().startswith(f"{name} ")), None)
        if name is None:
            return Said("walk-names", names=seen.names)
        try:
            value = read_fact(job, names[name], piece[len(name) :].strip(" ="))
            changes |= dict.fromkeys(ties if names[name] in ties else [names[name]], value)
        except InputError as error:
            fault = error.faults[0]
            return Said("walk-refused", mark=name, got=fault.value, expected=fault.expected)
    return changes


def _pieces(words: str, names: Mapping[str, str]) -> Iterator[str]:
    """Cut at the commas before a name; other commas are part of a value."""
    piece = ""
    for part in (part.strip() for part in words.split(",")):
        if piece and any(part.lower().startswith(f"{name} ") for name in names):
            yield piece
            piece = part
        else:
            piece = f"{piece}, {part}" if piece else part
    yield piece


def read_fact(job: Job, path: str, text: str) -> object:
    """Read the value of a field as a person types it.

    Args:
        job: the wall, with its own fasteners.
        path: dotted path of the field.
        text: as typed.

    Returns:
        The value in base units; None where nothing is there.

    Raises:
        InputError: no value of this field.
    """
    one = place_at(Job, path).field
    kind, faults = one.metadata[KIND], Faults("walk")
    if text.lower() in NOTHING:
        return None
    typed = _own_fastener(job, path, text) if kind == "fastener" else _typed(kind, path, text)
    value = read_value(typed, one.metadata, path, reading=Reading(faults, job.fasteners))
    faults.raise_if_any()
    return value


def _typed(kind: str, path: str, text: str) -> object:
    if kind == "layers":
        return next(iter(reading.layers(text).values()))
    if kind == "number" and spoken.BARE.fullmatch(text):
        return float(text)
    return reading.read_fields_of(text, (path,))[path]


def _own_fastener(job: Job, path: str, text: str) -> str:
    try:
        return fastener(text, job.fasteners).name
    except MissingDataError:
        name, own = reading.off_the_box(text, path)
        if own:
            reading.refuse(path, text, "a fastener of the tables, or one that the file has as [[fastener]]")
        return name


@frozen
class Extra:
    """A brace that is up and stands in no file.

    Attributes:
        brace: the brace.
        given: keys of its fields that were told.
    """

    brace: Brace
    given: frozenset[str]


def read_extra(job: Job, text: str, mark: str, *, among: Iterable[Brace] = ()) -> Extra | Said:
    """Read a brace that is up and stands in no file.

    Args:
        job: the wall.
        text: as typed.
        mark: the mark it gets.
        among: those found so far.

    Returns:
        The brace; of what is none, or cannot be on this wall, what is expected instead.
    """
    faults = Faults("walk")
    try:
        table = {**reading.brace_table(text), "mark": mark}
        brace = structure(Brace, table, "brace", reading=Reading(faults, job.fasteners))
        faults.raise_if_any()
    except InputError as error:
        fault = error.faults[0]
        return Said("walk-refused", mark=mark, got=fault.value, expected=fault.expected)
    assert brace is not None  # else there was a fault
    off = off_the_wall(job, brace) or where_another_is(brace, among)
    return (
        Extra(brace, frozenset(table))
        if off is None
        else Said("walk-refused", mark=mark, got=text, expected=off)
    )


# -- the walk --------------------------------------------------------------------------------------------


def look(walk: Walk, ask: Ask, say: Say, *, journal: Journal) -> tuple[Walk, Looked]:
    """Ask for braces that no file names, and of all that the wall counts on beside its braces.

    Args:
        walk: what was found of the braces.
        ask: shows a line and gives what is typed.
        say: shows a line.
        journal: keeps every answer.

    Returns:
        The walk with those braces, and what was looked at.
    """
    extra = _extra_braces(walk, ask, say, journal)
    answers = {mark: Answer(one.brace, (Found(mark, EXTRA),)) for mark, one in extra.items()}
    job, things, kept = walk.job, things_to_see(walk.job), journal.read()
    found: dict[Seen, Changes | None] = {}
    for seen in things:
        answer = read_look(job, seen, kept[seen.key]) if seen.key in kept else ANSWERS
        if not isinstance(answer, Said):
            found[seen] = answer
    if things:
        say(LOOKS)
    before = frozenset(found)
    k = next((k for k, seen in enumerate(things) if seen not in before), len(things))
    while k < len(things):
        text = ask(Said("walk-look", what=things[k].named, facts=things[k].facts(job)))
        word = text.strip().lower()
        if word == HELP:
            say(LOOKS)
        elif word == BACK:
            k = max(0, k - 1)
        else:
            answer = fitting(job, things[k], text, found=found)
            if isinstance(answer, Said):
                say(answer)
                continue
            found[things[k]] = answer
            journal.write(things[k].key, text)
            k = next((j for j in range(k + 1, len(things)) if things[j] not in before), len(things))
    changes = _together(found.values())
    ties = min(
        (int(str(value or 0)) for path, value in changes.items() if path.startswith(TIED)), default=MOST_TIES
    )
    braces = {mark: _with_ties(answer, ties) for mark, answer in (walk.answers | answers).items()}
    given = {mark: one.given for mark, one in extra.items()}
    beside = _beside_braces(changes)
    return Walk(walk.job, braces), Looked(beside, facts_found(job, beside), _unseen(found), given)


def _with_ties(answer: Answer, ties: int) -> Answer:
    """Give a brace no more tie rows than are there."""
    brace = answer.brace
    if brace is None or brace.ties <= ties:
        return answer
    found = Found(brace.mark, f"ties {ties}, planned {brace.ties}")
    return Answer(evolve(brace, ties=ties), (*answer.found, found))


def fitting(
    job: Job, seen: Seen, text: str, *, found: Mapping[Seen, Changes | None]
) -> Changes | Said | None:
    """Read an answer and try it on the file, with those before it: what does not fit is asked again.

    Args:
        job: the wall.
        seen: what is looked at.
        text: as typed.
        found: what was found of other things.

    Returns:
        What differs from the file; None where nobody looked; what is expected instead.
    """
    answer = read_look(job, seen, text)
    if answer is None or isinstance(answer, Said) or not answer:
        return answer
    try:
        before = (each for one, each in found.items() if one != seen)
        tried(job, _beside_braces(_together([*before, answer])))
    except InputError as error:
        fault = error.faults[0]
        return Said("walk-refused", mark=fault.field, got=fault.value, expected=fault.expected)
    return answer


def _together(changes: Iterable[Changes | None]) -> Changes:
    return {path: value for each in changes if each for path, value in each.items()}


def _beside_braces(changes: Changes) -> Changes:
    return {path: value for path, value in changes.items() if not path.startswith(TIED)}


def _unseen(found: Mapping[Seen, Changes | None]) -> frozenset[str]:
    """Fields nobody looked at: of the rows all, where one was not, since one that is gone moves the others up."""
    looks = {seen.look for seen, answer in found.items() if answer is None}
    return frozenset(
        path
        for seen, answer in found.items()
        for path in seen.paths
        if answer is None or (seen.look in looks and path.startswith(ROW))
    )


def _extra_braces(walk: Walk, ask: Ask, say: Say, journal: Journal) -> dict[str, Extra]:
    """Ask for braces that are up and stand in no file, one after another, until there is none."""
    job = walk.job
    taken = {brace.mark for brace in planned_braces(job)}
    found: dict[str, Extra] = {}
    stud, head, foot = (Quantity(inches, Kind.FEET) for inches in SUCH)
    question = Said("walk-extra", stud=stud, head=head, foot=foot)
    while True:
        mark = next(mark for k in count(1) if (mark := f"B{k}") not in taken)
        key = f"{KEYED}{len(found)}"
        kept = journal.read().get(key)
        text = ask(question) if kept is None else kept
        if text.strip().lower() in (*NO_MORE, BACK):
            journal.write(key, "")
            return found
        there = (*walk.braces, *(each.brace for each in found.values()))
        one = question if text.strip() == HELP else read_extra(job, text, mark, among=there)
        if isinstance(one, Said):
            say(one)
            continue
        if kept is None:
            journal.write(key, text)
        found[mark] = one
        taken.add(mark)
