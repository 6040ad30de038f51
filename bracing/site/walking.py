"""A walk on the pages: one thing at a time; what is ticked and typed makes the words a terminal takes."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from datetime import datetime
from itertools import count
from pathlib import Path
from typing import NoReturn

from attrs import evolve, field, frozen

from bracing.errors import Fault, InputError
from bracing.job.brace import Brace
from bracing.job.fields import MOST_LETTERS
from bracing.job.job import Job
from bracing.reading.files import digest
from bracing.reading.jobs import job_of
from bracing.reading.log import BEGUN, FINISHED, WALK, read_rows, writing
from bracing.reading.looking import KEYED, NO_MORE, Seen, fitting, look, read_extra, things_to_see
from bracing.reading.source import read_source
from bracing.reading.unfinished import Entry, open_entries
from bracing.reading.writing import write_walk
from bracing.said import Said, says
from bracing.site.walks import Taken, disputed, recover, take, taken_up, told_of
from bracing.stages.walk import brace_line, is_missing, planned_braces, read_answer, walk
from bracing.storm.clock import Clock
from bracing.text.page import Page

RESERVED = ("finish", "all")
AS_PLANNED, MISSING, KEEP, NOT_SEEN = "planned", "missing", "keep", "unseen"
ENTER = "enter"  # no button: the key of a keyboard, which must not say what nobody meant to
COUNTS = ("head", "cleat", "floor")
SPLITS = ("head", "cleat", "floor")
ANOTHER = "another"
MOST_TYPED = 300  # letters of an answer
_SLUG = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,39}", re.ASCII)
_ID = re.compile(r"[0-9a-f]{32}", re.ASCII)
_DIGEST = re.compile(r"[0-9a-f]{64}", re.ASCII)


@frozen
class Step:
    """One thing to answer.

    Attributes:
        slug: what it is called in an address.
        mark: the brace, or the key of what else is looked at.
        title: what it is called.
        line: what should be there.
        brace: the brace; None of what stands beside the braces.
        seen: what is looked at; None of a brace.
        entries: the answers there are.
        plan: digest of the wall file.
    """

    slug: str
    mark: str
    title: Said | str
    line: tuple[Said | str, ...]
    brace: Brace | None = None
    seen: Seen | None = None
    entries: tuple[Entry, ...] = ()
    plan: str = ""

    @property
    def disputed(self) -> bool:
        """Whether two people say two things."""
        return disputed(self.entries)

    @property
    def late(self) -> bool:
        """Whether an answer was given for another state of the file."""
        return any(one.plan != self.plan for one in self.entries)

    @property
    def answered(self) -> bool:
        """Whether it is answered, once, for the file as it is."""
        return bool(self.entries) and not self.disputed and not self.late

    @property
    def ids(self) -> str:
        """The answers a person has seen who sees this, as a form sends them back."""
        return " ".join(one.id for one in self.entries)


@frozen
class Round:
    """A wall being walked.

    Attributes:
        file: its file.
        job: the wall as its file has it.
        plan: digest of the file.
        steps: what is answered, in the order of the walk.
    """

    file: Path
    job: Job = field(repr=False)
    plan: str
    steps: tuple[Step, ...]

    @property
    def left(self) -> tuple[Step, ...]:
        """What is still to be answered."""
        return tuple(step for step in self.steps if not step.answered)

    @property
    def heads(self) -> str:
        """What tells the answers shown from others."""
        text = " ".join((self.plan, *(one.id for step in self.steps for one in step.entries)))
        return hashlib.sha256(text.encode()).hexdigest()

    def step(self, slug: str) -> Step | None:
        """Give one step; None where there is none of that name.

        Args:
            slug: its name.
        """
        return next((step for step in self.steps if step.slug == slug), None)

    def after(self, slug: str) -> Step | None:
        """Give what comes next and is not answered; None where all is.

        Args:
            slug: the step just answered.
        """
        at = next((k for k, step in enumerate(self.steps) if step.slug == slug), -1)
        return next((step for step in (*self.steps[at + 1 :], *self.steps[:at]) if not step.answered), None)


def round_of(file: Path, log: Path, filed: Job | None = None) -> Round:
    """Give a wall as its walk has it now.

    Args:
        file: its file.
        log: the log.
        filed: the wall as its file has it, where that is known.

    Raises:
        InputError: the file cannot be read; the wall is not up.
    """
    job = job_of(read_source(file)) if filed is None else filed
    if not job.wall.up:
        where = "wall.state"
        expected = "standing or tied in: a wall is walked once it is up"
        raise InputError.of(where, job.wall.state, expected, file=file.name)
    entries = open_entries(read_rows(log, file.name))
    plan = digest(file) or ""
    steps = [
        evolve(step, entries=tuple(entries.get(step.mark, ())), plan=plan) for step in _steps(job, entries)
    ]
    return Round(file, job, plan, tuple(steps))


def _steps(job: Job, entries: Mapping[str, list[Entry]]) -> list[Step]:
    """Braces, then braces in no plan, each as long as there was one, then all else a wall counts on."""
    braces = planned_braces(job)
    steps = []
    for k, brace in enumerate(braces):
        line = brace_line(brace, missing=is_missing(job, brace))
        steps.append(Step(_slug(brace.mark, k, braces), brace.mark, brace.mark, (line,), brace))
    for k in count():
        mark = f"{KEYED}{k}"
        steps.append(Step(f"{ANOTHER}-{k + 1}", mark, Said("page-another"), (Said("page-another-line"),)))
        answers = entries.get(mark, [])
        if not answers or all(one.answer.strip().lower() in NO_MORE for one in answers):
            break
    for seen in things_to_see(job):
        name = seen.look.removeprefix("look-") + (f"-{seen.number}" if seen.number else "")
        steps.append(Step(f"at-{name}", seen.key, seen.named, seen.facts(job), seen=seen))
    return steps


def _slug(mark: str, k: int, braces: tuple[Brace, ...]) -> str:
    """A mark as it stands in an address; one that might be anything else there by its number."""
    alike = sum(one.mark.lower() == mark.lower() for one in braces) > 1
    other = mark.lower() in RESERVED or mark.lower().startswith(("at-", f"{ANOTHER}-", "brace-"))
    return mark if _SLUG.fullmatch(mark) and not alike and not other else f"brace-{k + 1}"


# -- an answer -----------------------------------------------------------------------------------------------


def answer_of(step: Step, form: Mapping[str, str]) -> str:
    """Make the words a terminal takes of what was ticked and typed.

    Args:
        step: what was answered.
        form: the fields.

    Example:
        >>> brace = Brace(
        ...     mark="B1", stud_at=48.0, head=72.0, set_back=72.0, size="2x6", head_fasteners=4, cleat_fasteners=4,
        ...     floor_fasteners=5,
        ... )  # fmt: skip
        >>> answer_of(Step("B1", "B1", "B1", (), brace), {"do": "keep", "head": "3", "cleat": "4", "split": "floor"})
        'head 3, split floor'
    """
    do = form.get("do", ENTER)
    if do == AS_PLANNED:
        return ""
    if do == MISSING:
        return "missing"
    if do == NOT_SEEN:
        return "not seen"
    other = " ".join(form.get("other", "").split())[:MOST_TYPED]
    if step.brace is None:
        named = _named(step, form)
        return ", ".join(filter(None, (*named, other)))
    brace, words = step.brace, []
    planned = {"head": brace.head_fasteners, "cleat": brace.cleat_fasteners, "floor": brace.floor_fasteners}
    for name in COUNTS:
        typed = form.get(name, "").strip()
        if typed and typed != str(planned[name]):
            words.append(f"{name} {typed}"[:MOST_TYPED])
    ties = form.get("ties", "").strip()
    words += [f"ties {ties}"[:MOST_TYPED]] if ties and ties != str(brace.ties) else []
    words += ["joist missed"] if form.get("joist_missed") else []
    words += [f"split {form['split']}"] if form.get("split") in SPLITS else []
    return ", ".join(filter(None, (*words, other)))


def _named(step: Step, form: Mapping[str, str]) -> list[str]:
    """What was typed beside the name of a fact."""
    if step.seen is None:
        return []
    found = []
    for k, name in enumerate(step.seen.names):
        typed = " ".join(form.get(f"fact-{k}", "").split())[:MOST_TYPED]
        found += [f"{name} {typed}"] if typed else []
    return found


def refused(here: Round, step: Step, answer: str, *, form: Mapping[str, str]) -> Said | None:
    """Say what is expected of what is no answer, or cannot be on this wall; nothing where it is one.

    Args:
        here: the walk.
        step: what was answered.
        answer: the words.
        form: the fields.
    """
    if not answer and form.get("do", ENTER) == ENTER:
        return Said("page-which")
    if step.brace is not None:
        found: object = read_answer(here.job, step.brace, answer)
    elif step.seen is not None:
        found = fitting(here.job, step.seen, answer, found={})
    elif answer.strip().lower() in NO_MORE:
        found = None
    else:
        taken = {brace.mark for brace in planned_braces(here.job)}
        found = read_extra(here.job, answer, next(m for k in count(1) if (m := f"B{k}") not in taken))
    return found if isinstance(found, Said) else None


@frozen
class Given:
    """An answer as a phone gives it in.

    Attributes:
        id: its own: given in twice, it counts once.
        plan: digest of the wall file the phone had.
        seen: the answers the phone showed.
        who: who answers, by role.
        link: by which link.
    """

    id: str
    plan: str
    seen: tuple[str, ...]
    who: str
    link: str

    @classmethod
    def of(cls, said: Mapping[str, str], link: str) -> Given:
        """Read what a form, or a queue, says of an answer.

        Args:
            said: id, plan, seen and by.
            link: by which link it came.

        Raises:
            InputError: each that is none, and no role.
        """
        faults = [
            Fault("command line", name, said.get(name, ""), "what the page had there: open it again")
            for name, form in (("id", _ID), ("plan", _DIGEST))
            if not form.fullmatch(said.get(name, ""))
        ]
        seen = tuple(said.get("seen", "").split())
        if len(seen) > MOST_TYPED or not all(_ID.fullmatch(one) for one in seen):
            faults.append(Fault("command line", "seen", "", "what the page had there: open it again"))
        if faults:
            raise InputError(faults)
        return cls(said["id"], said["plan"], seen, role_of(said.get("by", "")), link)


def role_of(text: str) -> str:
    """Read who it is, by role.

    Args:
        text: as typed.

    Raises:
        InputError: nothing, or what cannot be printed.
    """
    role = " ".join(text.split())
    if not role or len(role) > MOST_LETTERS or not role.isprintable():
        where = "by"
        raise InputError.of(where, text, "who walks, by role, such as lead framer")
    return role


def keep(here: Round, step: Step, given: Given, *, answer: str, log: Path, now: datetime) -> Taken:
    """Put an answer on disk: when this returns it is there, and counts.

    Args:
        here: the walk.
        step: what was answered.
        given: how it came.
        answer: the words.
        log: the log.
        now: the present moment.

    Returns:
        What became of it.
    """
    name = here.file.name
    one = told_of(here.job, Entry(given.id, step.mark, answer, given.plan, given.seen, who=given.who))
    with writing(log, now) as opened:
        recover(opened, here.file)
        events = [row for row in opened.rows(name) if row.kind == WALK and row.body.get("event")]
        if not events or events[-1].body.get("event") == FINISHED:
            opened.add(WALK, {"event": BEGUN, "plan": here.plan}, wall=name, who=given.who, link=given.link)
        return take(opened, name, one, plan=digest(here.file) or "", link=given.link)


# -- the end of it -------------------------------------------------------------------------------------------


class _Unanswered(Exception):  # noqa: N818  (a walk that is not at its end)
    pass


def finish(here: Round, *, log: Path, by: str, heads: str, clock: Clock) -> Job:
    """Finish the walk: the wall file is written as it was found.

    Args:
        here: the walk.
        log: the log.
        by: who walked, by role.
        heads: what told the answers shown to them.
        clock: the clock of the place.

    Returns:
        The wall as the file now gives it.

    Raises:
        InputError: something is not answered; somebody answered meanwhile; two say two things; the file has changed.
    """
    role = role_of(by)
    page = Page()
    if here.left:
        raise InputError(
            Fault(here.file.name, page.said(step.title), _why(step), "an answer") for step in here.left
        )
    if heads != here.heads:
        where = "walk"
        expected = "what is there now: somebody has answered since, look again"
        raise InputError.of(where, "other answers than were shown", expected, file=here.file.name)
    logged = taken_up(log, here.job, who=role)
    try:
        found, looked = look(walk(here.job, _ask, _say, journal=logged), _ask, _say, journal=logged)
    except _Unanswered:
        where = "walk"
        raise InputError.of(
            where, "an answer that no longer fits", "each brace answered again", file=here.file.name
        ) from None
    return logged.finish(lambda: write_walk(found, looked, by=role, clock=clock), by=role, when=clock.stamp)


def _ask(_: Said) -> NoReturn:
    raise _Unanswered


def _say(words: Said) -> None:
    if says(words, "walk-refused"):
        raise _Unanswered


def _why(step: Step) -> str:
    if step.disputed:
        return " and ".join(sorted({one.answer.strip() or "as planned" for one in step.entries}))
    return "an answer for another state of the file" if step.late else "nothing"
