"""A forecast in sentences, a part of a day each, as offices of the weather write it for the public.

    Tonight ... southwest winds 20 to 25 mph, with gusts as high as 45 mph. Saturday ... a chance of thunderstorms.

The strongest wind said of a part of a day counts in every hour of it, whichever words part it further. A wind without a
gust is a sustained speed, and a part without any wind is said to be not covered: nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from attrs import evolve, frozen

from bracing.errors import InputError, visible
from bracing.reading.pasted import MOST_LINE, says_storm, speeds_in, units_in, when_in, wrong_zone, zone_words
from bracing.reading.source import SourceText
from bracing.reading.values import Faults
from bracing.sources import shipped
from bracing.storm.clock import DAYS, JUST_PASSED, MONTHS, NOON, Clock, days_away
from bracing.storm.forecast import GUST, MOST_ROWS, ONE_HOUR, SUSTAINED, Hour, checked_speed

MOST_SENTENCES, MOST_NOTE = 2000, 200
MORNING, EVENING, DAY = 6, 18, 24  # hours at which the day and the night of a forecast begin
FULL_WEEK = timedelta(days=7)
_DAY_NAMES = (
    r"mon(?:day)?|tue(?:s|sday)?|wed(?:s|nesday)?|thu(?:r|rs|rsday)?|fri(?:day)?|sat(?:urday)?|sun(?:day)?"
)
_PARTS = r"morning|afternoon|evening|night|overnight"
_NAME = (
    rf"(?:(?:the )?(?:rest|remainder) of )?(?:today|tonight|overnight|(?:this |the )(?:{_PARTS})"
    rf"|(?:tomorrow|{_DAY_NAMES})(?: (?:{_PARTS}))?)"
)
_DATE = rf"(?:,? (?P<month>{'|'.join(MONTHS).lower()})[a-z]{{0,6}}\.? (?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?(?![0-9]))?"
_HEAD = re.compile(
    rf"\.?\s*(?P<first>{_NAME}){_DATE}(?:,? (?:and|through|thru|into|to|-) (?P<last>{_NAME}))?(?![a-z'])"
    r"(?P<sign>\s*(?:\.{2,}|…|:|--?|–|—|,)?)\s*"
)
_DOTTED = re.compile(r"\.\s?(?P<name>[A-Za-z][A-Za-z' ]{1,60}?)\s*(?:\.{3}|…)")
_PARTED = re.compile(r"(?<=[.!?;])\s+")
_CHANGES = re.compile(
    r"\b(?:becoming|increasing|decreasing|diminishing|shifting|turning|veering|backing|easing|subsiding|rising"
    r"|switching|then|except|otherwise)\b|;"
)
_ABOUT_WIND = re.compile(r"\b(?:wind|gust|breez|bluster|squall|gale)")
_LIGHT = re.compile(r"\blight\b.{0,30}?\bwinds?\b|\bwinds?\b.{0,30}?\blight\b")
_DAMAGING = re.compile(r"\b(?:damaging|destructive|severe)\b")
_UP_TO = re.compile(r"\b(?:reaching|approaching|possibly|locally)\b")
_MADE = re.compile(
    rf"(?P<hour>[0-9]{{1,2}}):?(?P<minute>[0-9]{{2}})\s?(?P<half>[ap])\.?m\b.{{0,30}}?"
    rf"\b(?P<month>{'|'.join(MONTHS).lower()})[a-z]{{0,6}}\.? (?P<day>[0-9]{{1,2}}),? (?P<year>[0-9]{{4}})"
)


@frozen
class _Period:
    """A part of a day, and the sentences of it."""

    where: str
    name: str
    start: datetime  # as the clock of the place shows it
    end: datetime
    sentences: tuple[str, ...]


@frozen
class _Block:
    """What stands under one head, before its days are known; the first, without one, stands over all."""

    number: int
    head: re.Match[str] | None
    sentences: tuple[str, ...]


@frozen
class _Wind:
    """A speed and what it is."""

    speed: float
    basis: str

    @property
    def hour(self) -> Hour:
        """An hour of it, of no time yet."""
        return Hour(_ANY, None, self.speed, self.basis)


_ANY = datetime.fromisoformat("2000-01-01T00:00:00+00:00")


def is_prose(source: SourceText) -> bool:
    """Whether a text is sentences under parts of days: a wind under one of them, and no hour that begins a line there.

    Args:
        source: the text.
    """
    blocks = _blocks(source)
    if not any(_told(sentence) for block in blocks if block.head for sentence in block.sentences):
        return False
    first = next(block.number for block in blocks if block.head)
    return not any(map(_begins_an_hour, source.text.splitlines()[first - 1 :]))


def _begins_an_hour(line: str) -> bool:
    """Whether a line is an hour of a table: a time with nothing behind it, or a speed; "midnight." ends a sentence."""
    when = when_in(line)
    if when is None or when.time is None or when.rest[:1] in (".", ","):
        return False
    said = speeds_in(when.rest)
    return not when.rest or bool(said.gusts or said.winds)


def read_prose(
    source: SourceText, clock: Clock, faults: Faults, *, unit: str | None, storms: bool
) -> tuple[tuple[Hour, ...], tuple[str, ...]]:
    """Read it, hour by hour.

    Args:
        source: its text.
        clock: the clock of the place.
        faults: takes each part of a day that is at fault.
        unit: unit of speeds that have none, as said beside it.
        storms: thunderstorms are in all of it.

    Returns:
        The hours, and what a reader should know.
    """
    over, *blocks = _blocks(source)
    units = units_in(source.text)
    unit = unit or (next(iter(units)) if len(units) == 1 else None)
    long = next(
        (each for block in (over, *blocks) for each in block.sentences if len(each) > MOST_LINE), None
    )
    if long is not None:
        faults.add("file", long[:MOST_NOTE], f"sentences of at most {MOST_LINE} letters")
    if sum(len(block.sentences) for block in (over, *blocks)) > MOST_SENTENCES:
        faults.add("file", "more sentences", f"at most {MOST_SENTENCES} sentences of a forecast")
    faults.raise_if_any()
    header = " ".join(over.sentences)[:MOST_LINE]
    made = _made(header, clock, faults)
    storms = storms or says_storm(header)
    for sentence in over.sentences:
        if _speaks(sentence):
            faults.add("over the first day", sentence, "its part of a day before it, such as Tonight:")
    _refuse_unknown(source, faults)
    found: dict[datetime, Hour] = {}
    left, silent = [], []
    for period in _periods(blocks, clock, made, faults):
        thunder = storms or any(map(says_storm, period.sentences))
        winds = list(_winds(period, unit, faults))
        left += [each for each in period.sentences if _ABOUT_WIND.search(each.lower()) and not _told(each)]
        if not winds and not thunder:
            silent.append(period.name)
            continue
        one = max(
            (wind.hour for wind in winds), key=lambda hour: hour.gust, default=Hour(_ANY, None, 0.0, GUST)
        )
        if not winds:
            left.append(f"{period.name}: no wind in numbers, thunderstorms alone")
        for start in _hours(period, clock):
            hour = evolve(one, start=start, end=start + ONE_HOUR, thunderstorm=thunder)
            before = found.get(start, hour)
            worse = max(before, hour, key=lambda each: each.gust)
            found[start] = evolve(worse, thunderstorm=before.thunderstorm or thunder)
    faults.raise_if_any()
    if not found:
        faults.add("file", header or "nothing", "a wind under a part of a day, in mph, kt, km/h or m/s")
        faults.raise_if_any()
    hours = tuple(sorted(found.values(), key=lambda hour: hour.start))[:MOST_ROWS]
    return hours, tuple(_notes(hours, left, silent, made, clock))


def _notes(
    hours: Sequence[Hour], left: Sequence[str], silent: Sequence[str], made: datetime | None, clock: Clock
) -> Iterator[str]:
    for before, after in pairwise(hours):
        if before.end is not None and before.end < after.start:
            yield f"NOT COVERED: {clock.text(before.end)} until {clock.text(after.start)}, no wind is said of it"
    if silent:
        yield visible(f"left out, no wind is said of: {'; '.join(silent)}")[:MOST_NOTE]
    if left:
        yield visible(f"left out, no speed in it: {' '.join(left)}")[:MOST_NOTE]
    if made is None:
        yield "no time on it when it was made: its days are counted from now"


# -- parting the text --------------------------------------------------------------------------------------


def _blocks(source: SourceText) -> list[_Block]:
    """Part the text at the parts of days that begin a line or a sentence; what stands before the first is over all."""
    blocks: list[_Block] = []
    number, head = 1, None
    said: list[str] = []
    ended = True  # whatever came last has its full stop
    count = 0
    for at, line in enumerate(source.text.splitlines(), start=1):
        for piece, begins in _pieces(line):
            count += 1
            found = _HEAD.match(piece[:MOST_LINE].lower()) if count <= MOST_SENTENCES else None
            new = found is not None and (not begins or ended or _alone(found, piece))
            if found is not None and new:
                blocks.append(_Block(number, head, _sentences(" ".join(said))))
                number, head, said = at, found, []
                piece = piece[found.end() :]
            said.append(piece)
            ended = not piece or piece[-1] in ".!?:;…"
        ended = ended or not line.strip()
    blocks.append(_Block(number, head, _sentences(" ".join(said))))
    return blocks


def _pieces(line: str) -> Iterator[tuple[str, bool]]:
    """The sentences of a line, each with whether it begins the line."""
    for k, piece in enumerate(_PARTED.split(line.strip())):
        if piece:
            yield piece, k == 0


def _alone(found: re.Match[str], piece: str) -> bool:
    """Whether a part of a day stands as a head does: with a sign behind it, a dot before it, or by itself."""
    return bool(found["sign"].strip()) or piece.startswith(".") or found.end() >= len(piece) or "\t" in piece


def _sentences(text: str) -> tuple[str, ...]:
    plain = " ".join(re.sub(r"\.{2,}|…", ", ", text).split()).strip(" ,")
    return tuple(each.strip() for each in _PARTED.split(plain) if each.strip(" .,"))


def _refuse_unknown(source: SourceText, faults: Faults) -> None:
    """Refuse a head with a dot before it that is no part of a day, such as a holiday: its wind is of no known time."""
    for number, line in enumerate(source.text.splitlines(), start=1):
        found = _DOTTED.match(line.strip())
        if found is not None and _HEAD.match(line.strip().lower()) is None:
            faults.add(
                f"line {number}", found["name"], "a part of a day, such as Tonight, Saturday or Sunday night"
            )


# -- days --------------------------------------------------------------------------------------------------


def _made(header: str, clock: Clock, faults: Faults) -> datetime | None:
    """When it was made, as the clock shows it, where it says so: its days are counted from then."""
    found = _MADE.search(header.lower())
    if found is None:
        return None
    month = [name.lower() for name in MONTHS].index(found["month"]) + 1
    hour = int(found["hour"]) % NOON + (NOON if found["half"] == "p" else 0)
    try:
        made = datetime(int(found["year"]), month, int(found["day"]), hour, int(found["minute"]))
        moment = clock.at(made)
        wrong = wrong_zone(zone_words(found[0]), made, clock)
    except (ValueError, InputError):
        faults.add("the time it was made", found[0], 'a date and time, such as "3:15 pm Mar 6 2026"')
        return None
    if wrong is not None:
        zone = "this computer's own clock" if clock.zone is None else str(clock.zone)
        expected = f"the times of {zone}; else the place of the forecast, such as --zone America/Chicago"
        faults.add("the time it was made", wrong, expected)
    if moment > clock.now + JUST_PASSED:
        faults.add("the time it was made", found[0], f"a time before now, {clock.text(clock.now)}")
    return made


def _periods(
    blocks: Sequence[_Block], clock: Clock, made: datetime | None, faults: Faults
) -> Iterator[_Period]:
    base = made or clock.local(clock.now).replace(tzinfo=None, fold=0)
    last: datetime | None = None
    for block in blocks:
        head = block.head
        if head is None:
            continue
        name, where = head[0].strip(" .,:-–—…"), f"line {block.number}"
        start, end = _span(head["first"], base)
        if last is not None and start < last and _weekday(head["first"]):
            start, end = start + FULL_WEEK, end + FULL_WEEK
        if head["last"]:
            _, end = _span(head["last"], base)
            while end <= start and _weekday(head["last"]):
                end += FULL_WEEK
        if end <= start or (last is not None and start < last):
            faults.add(where, name, "the parts of days in their order")
            continue
        if head["month"] and (MONTHS[start.month - 1].lower(), str(start.day)) != (
            head["month"],
            str(int(head["day"])),
        ):
            faults.add(where, name, f"the date of that day: it is {MONTHS[start.month - 1]} {start.day}")
        last = start
        yield _Period(where, name, start, end, block.sentences)


def _weekday(name: str) -> bool:
    return name.split()[0][:3] in DAYS


def _span(name: str, base: datetime) -> tuple[datetime, datetime]:
    """From when until when a part of a day runs, counted from when it was said."""
    words = [word for word in name.split() if word not in ("the", "rest", "remainder", "of", "this")]
    today = base.replace(hour=0, minute=0, second=0, microsecond=0)
    small = base.hour < MORNING  # said in the small hours: tonight is what is left of the night
    day, part = words[0], words[-1]
    if part in ("tonight", "overnight", "night", "evening") and len(words) == 1:
        if small:
            return today + timedelta(hours=EVENING - DAY), today + timedelta(hours=MORNING)
        begin, end = _HOURS[part]
        return today + timedelta(hours=begin), today + timedelta(hours=end)
    away = days_away(day, NOON * 3600.0, base.weekday()) if day not in _HOURS else 0
    begin, end = _HOURS.get(part, _HOURS["today"])
    first = today + timedelta(days=away or 0)
    return first + timedelta(hours=begin), first + timedelta(hours=end)


_HOURS = {
    "today": (MORNING, EVENING), "morning": (MORNING, NOON), "afternoon": (NOON, EVENING), "evening": (EVENING, DAY),
    "tonight": (EVENING, DAY + MORNING), "night": (EVENING, DAY + MORNING), "overnight": (DAY, DAY + MORNING),
}  # fmt: skip


def _hours(period: _Period, clock: Clock) -> Iterator[datetime]:
    """The hours of a part of a day; a time that clocks leap over is the one behind it."""
    start, end = _moment(clock, period.start), _moment(clock, period.end)
    while start < end:
        yield start
        start += ONE_HOUR


def _moment(clock: Clock, shown: datetime) -> datetime:
    try:
        return clock.at(shown)
    except InputError:
        return clock.at(shown + ONE_HOUR)


# -- winds -------------------------------------------------------------------------------------------------


def _speaks(sentence: str) -> bool:
    """Whether a sentence has a speed in it."""
    return any(_of_clause(clause) != ((), ()) for clause in _clauses(sentence))


def _told(sentence: str) -> bool:
    """Whether a sentence says how fast it blows, in numbers or as light."""
    return _speaks(sentence) or _LIGHT.search(sentence[:MOST_LINE].lower()) is not None


def _clauses(sentence: str) -> list[str]:
    return [_UP_TO.sub("to", clause) for clause in _CHANGES.split(sentence[:MOST_LINE].lower())]


def _of_clause(clause: str) -> tuple[tuple[tuple[str, str | None], ...], tuple[tuple[str, str | None], ...]]:
    """Gusts and winds of a clause: a number by a compass point is neither where nothing speaks of wind or its unit."""
    if not _ABOUT_WIND.search(clause) and not units_in(clause):
        return (), ()
    said = speeds_in(clause)
    if said.winds and says_storm(clause) and _DAMAGING.search(clause):
        return (*said.gusts, *said.winds), ()
    return said.gusts, said.winds


def _winds(period: _Period, unit: str | None, faults: Faults) -> Iterator[_Wind]:
    """The winds of a part of a day; gusts in a sentence of their own are those of the winds before it."""
    bare: list[float] = []  # of the sentence before, without a gust so far
    for sentence in period.sentences:
        winds: list[float] = []
        highest, blows_alone = 0.0, True
        for clause in _clauses(sentence):
            gusts, steady = (
                [_speed(each, unit, period, faults) for each in found] for found in _of_clause(clause)
            )
            if not gusts and not steady and _LIGHT.search(clause):
                steady = [shipped("forecast")["light"]["mph"]]
            yield from (_Wind(speed, GUST) for speed in gusts)
            blows_alone = blows_alone and not steady
            top = max(gusts, default=0.0)
            highest = max(highest, top)
            winds += [speed for speed in steady if not gusts or speed > top]
            if gusts and not steady:
                winds = [speed for speed in winds if speed > top]
        if highest and blows_alone:
            bare = [speed for speed in bare if speed > highest]
            continue
        yield from (_Wind(speed, SUSTAINED) for speed in bare)
        bare = winds
    yield from (_Wind(speed, SUSTAINED) for speed in bare)


def _speed(written: tuple[str, str | None], unit: str | None, period: _Period, faults: Faults) -> float:
    number, own = written
    named = own or unit
    if named is None:
        faults.add(f"{period.where}, {period.name}", number, "its unit: mph, kt, km/h or m/s, or --unit mph")
        return 0.0
    try:
        return checked_speed(f"{number} {named}", f"{period.where}, {period.name}")
    except InputError as error:
        faults.add(f"{period.where}, {period.name}", number, error.faults[0].expected)
        return 0.0
