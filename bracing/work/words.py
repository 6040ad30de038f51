"""What is done to a wall, and what a brace is: said alike by every command. The words stand in `text/`, by id."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from attrs import frozen

from bracing.chain.brace import STIFFENER_SPACING
from bracing.chain.plate import edge_beside
from bracing.chain.room import THROUGH_PLATE, joint_fastener, plate_fastener
from bracing.job.brace import IN_BLOCK, IN_JOIST, JOINTS, ON_CROSS, Brace, JointId
from bracing.job.fasteners import Fastener, fastener
from bracing.job.fields import value_at
from bracing.job.job import Job
from bracing.said import Kind, Quantity, Said, Term
from bracing.stages.going_up import ties_named, ties_on
from bracing.units import Inch
from bracing.work.remedies import Change, Remedy, remedies

SHORT: Inch = 48.0  # under this a spacing is said in inches
NEAR: Inch = 24.0  # fasteners beside a brace stand no farther from it than this
LAP: Inch = 48.0  # joints of the two top plates are so far apart
_INTO = {
    IN_JOIST: Said("into-joists"),
    IN_BLOCK: Said("into-the-blocks"),
    ON_CROSS: Said("into-the-cross-cleats"),
}
_WORDS = ("screw", "nail", "lag", "bolt", "anchor", "strap", "block", "stud", "stake", "weight")


def many(count: int, name: str, own: tuple[Fastener, ...]) -> str:
    """Say how many of a fastener.

    Args:
        count: how many.
        name: the fastener.
        own: the user's own fasteners.

    Example:
        >>> many(8, "structural screw 0.22x3", ()), many(2, "16d common", ()), many(1, "gun nail 0.131x3", ())
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


def into_ends(job: Job) -> str:
    """Say what goes into each end of a block between joists.

    Args:
        job: the job.
    """
    blocks = job.floor.blocks
    return many(blocks.each_end, blocks.fastener, job.fasteners)


def apart(inches: Inch) -> Quantity:
    """Give a spacing or a short length as it is said: in inches where it is short, else as a tape reads it.

    Args:
        inches: the length [in].

    Example:
        >>> apart(12.0).kind.value, apart(60.0).kind.value
        ('inches', 'tape')
    """
    return Quantity(inches, Kind.INCHES if inches < SHORT else Kind.TAPE)


@frozen
class Done:
    """Work of one kind, done.

    Attributes:
        job: the job with it.
        changes: what it changes.
    """

    job: Job
    changes: tuple[Change, ...]

    @property
    def row(self) -> Remedy:
        """The remedy."""
        return remedies()[self.changes[0].kind]

    @property
    def last(self) -> Change:
        """The change of the field the remedy is there for; of several the last."""
        return next((c for c in reversed(self.changes) if c.name == self.row.name), self.changes[-1])

    @property
    def braces(self) -> tuple[Brace, ...]:
        """The braces it is done at."""
        marks = {change.mark for change in self.changes}
        return tuple(brace for brace in self.job.braces if brace.mark in marks)

    @property
    def fastener(self) -> str:
        """The fastener it takes; empty where it takes none, or where its value is the fastener."""
        where = self.row.fastener
        if where in THROUGH_PLATE:
            return plate_fastener(self.job, where)
        if "." not in where:
            return ""
        return str(value_at(self.job, where.replace("wall.opening[]", self.last.path.rpartition(".")[0])))

    def value(self, value: object) -> object:
        """Give a value of the field as it is said.

        Args:
            value: before or after.
        """
        if not isinstance(value, float):
            return str(value)
        return Quantity(value, Kind.LOAD) if self.last.name.endswith("_lb") else apart(value)


def _at(done: Done) -> object:
    marks = tuple(brace.mark for brace in done.braces)
    return Said("every-brace") if len(marks) == len(done.job.braces) > 1 else marks


def _many(done: Done) -> str:
    count = done.last.after
    return many(count, done.fastener, done.job.fasteners) if done.fastener and isinstance(count, int) else ""


def _opening(done: Done) -> object:
    where = done.last.path.rpartition(".")[0]
    if not where.startswith("wall.opening["):
        return ""
    return Quantity(float(value_at(done.job, f"{where}.left")), Kind.TAPE)  # type: ignore[arg-type]


def _raised(done: Done, name: str) -> tuple[Said, ...]:
    changes = (change for change in done.changes if change.name == name)
    raised = tuple(Said("raised", mark=c.mark, before=c.before, after=c.after) for c in changes)
    return raised or (Said("as-many-as-there-are"),)


def _row_beside(job: Job) -> object:
    edge = edge_beside(job.wall.plate)
    return "" if edge is None or job.floor.kind == "slab" else Said("in-a-row", edge=apart(edge))


# What the words of a remedy may have a place for.
FILLED: dict[str, Callable[[Done], object]] = {
    "at": _at,
    "size": lambda done: tuple(sorted({brace.size for brace in done.braces})),
    "head": lambda done: joint_fastener(done.job, JointId.HEAD),
    "cleat": lambda done: joint_fastener(done.job, JointId.CLEAT),
    "floor": lambda done: joint_fastener(done.job, JointId.FLOOR),
    "fastener": lambda done: done.fastener,
    "many": _many,
    "after": lambda done: done.value(done.last.after),
    "instead": lambda done: (
        Said("instead-of", before=done.value(done.last.before)) if done.last.before else ""
    ),
    "each": lambda done: _raised(done, done.row.name),
    "cleats": lambda done: _raised(done, JointId.CLEAT),
    "floors": lambda done: _raised(done, JointId.FLOOR),
    "ties": lambda done: ties_on(done.last.after) if done.last.name == "ties" else "",
    "apart": lambda _: apart(STIFFENER_SPACING),
    "edge": lambda done: _row_beside(done.job),
    "near": lambda _: apart(NEAR),
    "lap": lambda _: apart(LAP),
    "spacing": lambda done: apart(done.job.wall.plate.spacing),
    "foot": lambda done: apart(done.job.wall.plate.sheathing_spacing),
    "opening": _opening,
}


def short_words(kind: str) -> Said:
    """Say in a few words what a remedy is.

    Args:
        kind: its kind.
    """
    return Said.by(f"short-{kind.replace(' ', '-')}", {})


def work_words(job: Job, changes: Iterable[Change]) -> tuple[Said, ...]:
    """Say what changes are, a line a kind of work, and a line an opening.

    Args:
        job: the job with the work done.
        changes: the changes.
    """
    kinds: dict[tuple[str, str], list[Change]] = {}
    for change in changes:
        hole = change.path if change.path.startswith("wall.opening") else ""
        kinds.setdefault((change.kind, hole), []).append(change)
    said = []
    for (kind, _), these in kinds.items():
        done = Done(job, tuple(these))
        values = {name: fill(done) for name, fill in FILLED.items()}
        said.append(Said.by(f"remedy-{kind.replace(' ', '-')}", values))
    return tuple(said)


def brace_words(job: Job, brace: Brace) -> Said:
    """Say where a brace stands, what is beside it, and how it is fastened.

    Args:
        job: the wall with it.
        brace: the brace.
    """
    return Said(
        "brace",
        size=brace.size,
        at=Quantity(brace.stud_at, Kind.TAPE),
        laps=Said("laps-on", side=Term(brace.lap_side)) if job.kit.head.joint == "lapped" else "",
        head=Quantity(brace.head, Kind.TAPE),
        foot=Quantity(brace.set_back, Kind.TAPE),
        ties=Said("with-ties", ties=ties_named(brace.ties)) if brace.ties else "",
        stiffener=Said("with-a-t") if brace.stiffener == "T" else "",
        stud=Said("with-stud-doubled") if brace.stud_doubled else "",
        joints=joint_words(job, brace),
    )


def joints_of_all(job: Job, braces: Sequence[Brace]) -> Said:
    """Say once of braces in a table what their fasteners are, into what, and which studs are doubled.

    Args:
        job: the wall with them.
        braces: the braces.
    """
    ground = job.floor.kind == "ground"
    into: dict[Said, tuple[str, ...]] = {}
    for brace in braces:
        if brace.in_wood and job.floor.kind == "deck" and brace.foot_on in _INTO:
            into[_INTO[brace.foot_on]] = (*into.get(_INTO[brace.foot_on], ()), brace.mark)
    doubled = tuple(brace.mark for brace in braces if brace.stud_doubled)
    stiff = tuple(brace.mark for brace in braces if brace.stiffener == "T")
    names = tuple(joint_fastener(job, joint) for joint in (JOINTS[:2] if ground else JOINTS))
    more = Said("studs-doubled-at", marks=doubled) if doubled else ""
    tees = Said("with-a-t-at", marks=stiff) if stiff else ""
    if ground:
        return Said("fasteners-of-braces-on-the-ground", names=names, doubled=more, stiff=tees)
    each = tuple(Said("into-of", into=what, marks=marks) for what, marks in into.items())
    where = "" if not into else next(iter(into)) if len(into) == 1 else Said("into-each", each=each)
    return Said("fasteners-of-braces", names=names, into=where, doubled=more, stiff=tees)


def joint_words(job: Job, brace: Brace) -> Said:
    """Say how a brace is fastened: head, cleats, floor.

    Args:
        job: the wall with it.
        brace: the brace.
    """
    kind = job.floor.kind
    names = [joint_fastener(job, joint) for joint in JOINTS]
    counts = [getattr(brace, joint) for joint in JOINTS]
    head, cleat, floor = (
        str(count) if name == before else many(count, name, job.fasteners)
        for count, name, before in zip(counts, names, ("", *names), strict=False)
    )
    if kind == "ground":
        return Said("joints-on-the-ground", head=head, foot=cleat)
    into = _INTO[brace.foot_on] if brace.in_wood and kind == "deck" else ""
    if job.kit.cleat.sides > 1:
        return Said("joints-of-two-cleats", head=head, cleat=cleat, floor=floor, into=into)
    return Said("joints-of-one-cleat", head=head, cleat=cleat, floor=floor, into=into)
