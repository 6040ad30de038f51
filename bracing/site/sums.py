"""What the pages of a job are worked out from: every number is asked of the function the command of its name asks.

Worked out in a process of its own, so that a page is answered while a wall is at work.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from attrs import evolve, field, frozen

from bracing.check import CheckResult, check
from bracing.drawing.details import brace_section
from bracing.drawing.elevation import elevation
from bracing.drawing.model import Drawing
from bracing.drawing.picture import as_bytes
from bracing.errors import BracingError, Fault, InputError, visible_json
from bracing.job.house import JOB_FILE
from bracing.job.job import Job
from bracing.reading.files import begin, inputs
from bracing.reading.jobs import job_of, read_job
from bracing.reading.log import last_rows
from bracing.reading.source import read_source, source_of, wall_folder
from bracing.results import WallAsked, loads_said, said_first, without_braces
from bracing.said import Said
from bracing.sheet.rows import Card, cards
from bracing.storm.clock import Clock, zone_named
from bracing.text.check import (
    clear_out_words,
    first_lines,
    limit_words,
    link_words,
    loose_said,
    out_words,
    size_said,
    storm_words,
    weight_words,
    zone_said,
)
from bracing.text.languages import OWN
from bracing.text.page import PLAIN, Page, in_both
from bracing.text.quantities import in_words

PHONE = Page(width=44, whole=True, at_length=True)


def phone(language: str) -> Page:
    """Give how pages for a phone are written in a language.

    Args:
        language: one of LANGUAGES.
    """
    return evolve(PHONE, language=language)


HALF = 0.5  # less than a mile an hour: of two walls of one limit gust the plan comes first
Stamps = tuple[tuple[str, tuple[int, int, int] | None], ...]


@frozen
class Picture:
    """A drawing as a page shows it.

    Attributes:
        alt: what it shows, in words.
        width: [px].
        height: [px].
    """

    alt: str
    width: int
    height: int


@frozen(eq=False)
class Told:
    """What is said of a wall, in one language.

    Attributes:
        words: by the place on the page.
        lists: the same, several at a place.
        cards: a card for each brace.
    """

    words: Mapping[str, str] = field(factory=dict)
    lists: Mapping[str, tuple[str, ...]] = field(factory=dict)
    cards: tuple[Card, ...] = ()


@frozen(eq=False)
class Worked:
    """One wall as its pages show it, or why it cannot be read.

    Attributes:
        file: its file.
        stamps: files it was read from, as they were.
        rows: the last row of the log of each wall among them, as it was.
        job: the wall as its file and the log have it; None where it cannot be read.
        filed: the wall as its file alone has it.
        numbers: as `check --json` has them.
        english: what is said of it in English.
        told: the same in the language of the job.
        pictures: the wall, then each brace.
        faults: why it cannot be read.
    """

    file: Path
    stamps: Stamps = ()
    rows: Mapping[str, int] = field(factory=dict)
    job: Job | None = None
    filed: Job | None = None
    numbers: Mapping[str, Any] = field(factory=dict)
    english: Told = field(factory=Told)
    told: Told = field(factory=Told)
    pictures: tuple[Picture, ...] = ()
    faults: tuple[Fault, ...] = ()

    @property
    def bare(self) -> bool:
        """Whether it is up without a brace on file."""
        return self.job is not None and without_braces(self.job)

    @property
    def asked(self) -> WallAsked:
        """What walls are sorted by: of two of one limit gust the plan before what was walked."""
        assert self.job is not None
        limit = self.numbers["limit_gust_mph"]
        return self.job, None, None if limit is None else limit + HALF * self.job.walked

    def still(self, rows: Mapping[str, int]) -> bool:
        """Whether nothing it was worked out from has changed.

        Args:
            rows: the last row of each wall in the log now.
        """
        return all(stamp_of(Path(path)) == stamp for path, stamp in self.stamps) and all(
            rows.get(name, 0) == last for name, last in self.rows.items()
        )


def stamp_of(path: Path) -> tuple[int, int, int] | None:
    """Give what tells a file from what it was; None where there is none.

    Args:
        path: the file.
    """
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def worked(file: Path, log: Path, language: str = OWN) -> Worked:
    """Work out what the pages of one wall show.

    Args:
        file: its file.
        log: the log of its folder.
        language: of the job.
    """
    while True:  # until what was read is what is stamped: somebody may be writing it
        first = _read(file)
        paths = sorted({file.resolve(), (file.parent / JOB_FILE).resolve(), *inputs()})
        stamps = tuple((str(path), stamp_of(path)) for path in paths)
        last = last_rows(log)
        rows = {path.name: last.get(path.name, 0) for path in paths if path.name != JOB_FILE}
        again = _read(file)
        if isinstance(first, Job) and isinstance(again, Job) and first.sha256 == again.sha256:
            return _shown(again, file, stamps=stamps, rows=rows, page=phone(language))
        if not isinstance(first, Job) and not isinstance(again, Job) and first == again:
            return Worked(file, stamps, rows, faults=again)


def _read(file: Path) -> Job | tuple[Fault, ...]:
    begin()
    try:
        return read_job(file)
    except InputError as error:
        return error.faults


def _shown(job: Job, file: Path, *, stamps: Stamps, rows: Mapping[str, int], page: Page) -> Worked:
    try:
        result = check(job, effects=False)
        stormy = check(job, thunderstorm=True, effects=False)
        drawn = (elevation(job, PHONE, narrow=True), *(brace_section(job, one, PHONE) for one in job.braces))
        english, told = (
            Told(_words(result, stormy, each), _lists(result, each), cards(job, each))
            for each in (PHONE, page)
        )
        pictures = tuple(map(_picture, drawn))
        filed = job_of(read_source(file))
        return Worked(file, stamps, rows, job, filed, _numbers(result), english, told, pictures)
    except InputError as error:
        return Worked(file, stamps, rows, faults=error.faults)


def _numbers(result: CheckResult) -> dict[str, Any]:
    return {
        "file": result.job.file, "wall": result.job.wall.name, "input_sha256": result.job.sha256,
        "state": result.job.state, "limit_gust_mph": result.limit_whole,
        "limit_gust_with_people_mph": result.limit_with_people,
        "clear_out_gust_mph": result.clear_out, "clear_out_on_meter_mph": result.clear_out_on_meter,
        "limit_gust_one_missing_mph": result.one_missing,
    }  # fmt: skip


def _words(result: CheckResult, stormy: CheckResult, page: Page) -> dict[str, str]:
    job = result.job
    up, first = job.wall.up, result.gives_first
    if result.beyond:
        out = out_words(0, page) if up else ""
        return {
            "out": out,
            "storm": "",
            "limit": "",
            "weight": "",
            "first": "",
            "size": page.said(size_said(job)),
        }
    lower = stormy.clear_out if stormy.clear_out != result.clear_out else None
    held = result.evaluation is not None and result.evaluation.held
    gives = page.said(Said("gives-first", link=link_words(first, page))) if held and first else ""
    return {
        "out": clear_out_words(result, page), "storm": storm_words(lower, page),
        "limit": limit_words(result, page), "weight": weight_words(result, page),
        "first": gives, "size": page.said(size_said(job)),
    }  # fmt: skip


def _lists(result: CheckResult, page: Page) -> dict[str, tuple[str, ...]]:
    job = result.job
    zone = page.said(zone_said(result))
    loose = result.evaluation is not None and not result.evaluation.held
    return {
        "told": tuple(
            map(page.said, (*said_first(job), *loads_said(job), *((loose_said(result),) if loose else ())))
        ),
        "engineer": tuple(map(page.said, result.beyond)),
        "warnings": tuple(map(page.said, result.warnings)), "zone": (zone,),
    }  # fmt: skip


def _picture(drawing: Drawing) -> Picture:
    wide, tall = drawing.paper.size
    return Picture(drawing.alt, round(wide * 96.0), round(tall * 96.0))


# -- what takes longer, each asked for by itself ---------------------------------------------------------


def wall_svg(file: Path, number: int) -> bytes:
    """Draw a wall, or one of its braces.

    Args:
        file: the wall file.
        number: 0 is the wall, 1 its first brace.
    """
    job = read_job(file)
    if number == 0:
        return as_bytes([elevation(job, PHONE, narrow=True)], ".svg")
    return as_bytes([brace_section(job, job.braces[number - 1], PHONE)], ".svg")


def wall_json(file: Path) -> str:
    """Write what `check --json` writes of a wall.

    Args:
        file: the wall file.
    """
    from bracing.text.hand_check import hand_check

    result = check(read_job(file), gust=None, thunderstorm=False)
    hand = hand_check(result)
    answer = {**result.to_dict(), "hand_check": None if hand is None else hand.to_dict()}
    return visible_json(json.dumps(in_words(answer), indent=2, allow_nan=False, ensure_ascii=False))


def wall_sheet(file: Path, gust: str, language: str = OWN) -> str:
    """Write the page of a wall as `sheet` writes it.

    Args:
        file: the wall file.
        gust: the gust asked; nothing where none is.
        language: of the job.

    Raises:
        InputError: no gust, of a wall without braces; no speed.
        NoLayoutError: no layout found.
    """
    from bracing.sheet.facts import gather
    from bracing.sheet.writing import page_of
    from bracing.units import speed

    asked = speed(gust, field="--gust") if gust else None
    return page_of(gather(read_job(file), evolve(PLAIN, language=language), gust=asked))


def wall_lift(file: Path, gust: str, people: str, *, language: str = OWN) -> str:
    """Write what `lift` writes of a wall, beside its first two options nothing said.

    Args:
        file: the wall file.
        gust: the gust of the day; nothing plans for the lift's own limit.
        people: how many people there are; nothing is three.
        language: of the job.

    Raises:
        InputError: no gust, or no such number of people.
    """
    from bracing.lift.links import LiftRequest
    from bracing.lift.plan import plan_lift
    from bracing.text.lift import lift_page
    from bracing.units import speed

    given: dict[str, Any] = {}
    if gust:
        given["gust"] = speed(gust, field="--gust")
    if people:
        if not (people.isascii() and people.isdigit() and 2 <= int(people) <= 40):
            option = "--people"
            raise InputError.of(option, people, "a whole number from 2 to 40")
        given["people"] = int(people)
    plan = plan_lift(read_job(file), LiftRequest(**given))
    return in_both(phone(language), lambda page: lift_page(plan, page))


def wall_take_down(file: Path, gust: str, *, done: tuple[str, ...], out: str, language: str = OWN) -> str:
    """Write which braces may come out after which event, or whether one may now, as `stages` answers.

    Args:
        file: the wall file.
        gust: the gust of the day and of the forecast; braces come out in no less.
        done: events that have happened.
        out: the brace asked about; nothing where none is.
        language: of the job.

    Raises:
        InputError: no gust; no such brace or event.
    """
    from bracing.stages.stages import stages
    from bracing.stages.take_down import Kept, ask_removal
    from bracing.text.stages import event_lines, kept_words, removal_page
    from bracing.units import speed

    job, kept = read_job(file), Kept(speed(gust, field="--gust"))
    if out:
        removal = ask_removal(job, out, done=done, keep=kept, deck=None)
        return in_both(phone(language), lambda page: removal_page(removal, page, keep=kept))
    result = stages(job, gust=kept.gust, keep=kept, deck=None, thunderstorm=False)

    def taking_down(page: Page) -> str:
        if result.take_down is None:
            return "\n".join([*page.for_engineer(result.beyond, ""), *page.cautions()])
        lines = [*first_lines(job, page), *page.para(kept_words(result.take_down.keep, page))]
        for event in result.take_down.events:
            lines += event_lines(event, page)
        return "\n".join([*lines, *page.cautions()])

    return in_both(phone(language), taking_down)


@frozen
class Tonight:
    """A forecast as it was typed in or pasted, and who there is.

    Attributes:
        now: the present moment.
        zone: name of the zone of the place; None is the computer's own.
        pasted: the forecast as pasted; nothing where it is typed.
        typed: gust, sustained, start and until, as typed; None where nothing was.
        storms: thunderstorms are in it.
        crew: people, hours and on_hand, as typed; None where nothing was.
    """

    now: datetime
    zone: str | None
    pasted: str
    typed: Mapping[str, str | None]
    storms: bool
    crew: Mapping[str, str | None]

    def read(self) -> tuple[Any, Clock]:
        """Read the forecast.

        Returns:
            The forecast, and the clock of the place.

        Raises:
            InputError: every fault in it.
        """
        from bracing.reading.forecast import Declared, forecast_of
        from bracing.storm.forecast import typed_forecast

        clock = Clock(self.now, zone_named(self.zone))
        if not self.pasted.strip():
            found = typed_forecast(clock, storms=self.storms, **self.typed)
        else:
            for name, text in self.typed.items():
                if text is not None:
                    raise InputError.of(name, text, "it in the pasted forecast, or nothing pasted")
            text = self.pasted.replace("\r\n", "\n")
            source = source_of(text.encode("utf-8", "replace"), file="pasted", kind="a forecast")
            found = forecast_of(source, clock, Declared(storms=self.storms))
        return found, Clock(self.now, found.zone)


def folder_storm(folder: Path, tonight: Tonight, language: str = OWN) -> str:
    """Write what `storm FOLDER` writes.

    Args:
        folder: the folder of walls.
        tonight: the forecast and who there is.
        language: of the job.

    Raises:
        InputError: every fault of what was asked.
    """
    from bracing.reading.crew import crew_of
    from bracing.storm.answer import LEAD
    from bracing.storm.folder import Asking, storm_folder
    from bracing.text.storm import first_page, job_page

    forecast, clock = tonight.read()
    crew = crew_of(dict(tonight.crew))
    found = wall_folder(folder)
    stock = None if crew is None else crew.stock(found.files)
    asking = Asking(forecast, clock, LEAD, None)
    job = storm_folder(found.files, asking, read_job, left_out=found.left_out)
    if crew is not None:
        job = crew.first(job, clock, stock)
    first = job.first
    return in_both(
        phone(language), lambda page: job_page(job, page) if first is None else first_page(job, first, page)
    )


def tried(task: Callable[[], Any]) -> Any:  # noqa: ANN401  (what a task gives)
    """Do a task; what is wrong with what was asked is its answer, each fault on a line.

    Args:
        task: the task.
    """
    try:
        return task()
    except InputError as error:
        return Refused(tuple(str(fault).removeprefix("command line: ") for fault in error.faults))
    except BracingError as error:
        return Refused((str(error),))


@frozen
class Refused:
    """Why there is no answer.

    Attributes:
        lines: a line each.
    """

    lines: tuple[str, ...]
