"""`bracing watch`: a forecast and its alerts against every wall of a folder, for cron or a timer."""

from __future__ import annotations

import json as json_text
import uuid
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from attrs import evolve, frozen

from bracing.commands.check import JSON, METRIC
from bracing.commands.output import BAD_INPUT, NOT_WITHIN, as_json, finish, page_of, status_of, tell
from bracing.commands.storms import MANY_WALLS, NOW, clock_of
from bracing.commands.wall_options import quoted

if TYPE_CHECKING:
    from bracing.errors import Fault
    from bracing.job.job import Job
    from bracing.job.watched import Named, Watched
    from bracing.reading.source import SourceText
    from bracing.said import Said
    from bracing.site.kept import Outgoing, State
    from bracing.storm.alerts import Alert
    from bracing.storm.clock import Clock
    from bracing.storm.forecast import Forecast
    from bracing.storm.watch import Look, MessageJson, News
    from bracing.text.page import Page
    from bracing.text.watch import Message

UNSENT = 5  # somebody who should know does not know yet
FOLDER = typer.Argument(metavar="FOLDER", help="the folder of wall files, with job.toml", show_default=False)
FORECAST = typer.Option(help="an open forecast, JSON: grid or hourly", show_default=False)
ALERTS = typer.Option(help="alerts in force, JSON or CAP XML", show_default=False)
FETCH = typer.Option(
    help="fetch both for the grid and point of job.toml, from this address; the public service unless given",
    show_default=False,
)
DAILY = typer.Option("--daily", help="send a message whether there is news or not: the one of the morning")
DRY_RUN = typer.Option("--dry-run", help="print what would be sent; send nothing, keep nothing")
FETCHED = "forecast.json"


def watch(
    folder: Annotated[str, FOLDER],
    *,
    forecast: Annotated[str | None, FORECAST] = None,
    alerts: Annotated[str | None, ALERTS] = None,
    fetch: Annotated[str | None, FETCH] = None,
    daily: Annotated[bool, DAILY] = False,
    dry_run: Annotated[bool, DRY_RUN] = False,
    now: Annotated[str | None, NOW] = None,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Watch a forecast for a folder of walls: one message a change, one each morning."""
    from bracing.reading.house import read_watched
    from bracing.site.kept import kept_folder, one_at_a_time
    from bracing.site.post import refuse_unsendable
    from bracing.storm.clock import refuse

    where = Path(folder)
    if not where.is_dir():
        refuse("FOLDER", folder, "a folder of wall files")
    named, watched = read_watched(where)
    refuse_unsendable(watched)
    asked = _Asked(where, named, watched, clock_of(now, named.time_zone), dry_run=dry_run)
    asked.refuse_nothing(forecast, alerts, fetch)
    kept = None if dry_run else kept_folder(where)
    with nullcontext() if kept is None else one_at_a_time(kept):
        look, told = asked.look(forecast, alerts, fetch)
        page = page_of(metric=metric)
        news, message, unsent = asked.tell(look, daily=daily, page=page, then=told)
    for line in (*map(str, (*look.faults, *look.left_out)), *unsent):
        tell(line)
    status = _status(look, unsent=bool(unsent))
    if json:
        finish(as_json(look.to_dict(news, message)), status)
    finish(_printed(look, message, page), status)


def _printed(look: Look, message: MessageJson | None, page: Page) -> str:
    from bracing.text.watch import quiet_line

    return quiet_line(look, page) if message is None else f"{message['subject']}\n\n{message['text']}"


def _status(look: Look, *, unsent: bool) -> int:
    if unsent:
        return UNSENT
    if look.faults:
        return BAD_INPUT
    return NOT_WITHIN if look.unknown else status_of(look.verdict, out=bool(look.out))


@frozen
class _Asked:
    """One look of a watch, as asked for."""

    folder: Path
    named: Named
    watched: Watched
    clock: Clock
    dry_run: bool

    @property
    def name(self) -> str:
        return self.named.name or self.folder.resolve().name

    def refuse_nothing(self, forecast: str | None, alerts: str | None, fetch: str | None) -> None:
        """Refuse where nothing says where a forecast comes from, and where two do."""
        from bracing.site.fetch import addresses
        from bracing.storm.clock import refuse

        if fetch is None:
            if forecast is None:
                refuse("--forecast", None, "a file of an open forecast, or --fetch")
            return
        found, _ = addresses(fetch, grid=self.watched.grid, point=self.watched.point)
        if forecast is None and found is None:
            refuse(
                "watch.grid", None, 'the grid square, such as "LOT/31,80"', file=str(self.folder / "job.toml")
            )

    def look(self, forecast: str | None, alerts: str | None, fetch: str | None) -> tuple[Look, str]:
        """Hold the forecast against the walls.

        Args:
            forecast: its file; None where it is fetched.
            alerts: their file; None where they are fetched, or not asked for.
            fetch: where from.

        Returns:
            What is seen, and the command that says what to add.
        """
        from bracing.errors import InputError
        from bracing.said import Said
        from bracing.storm.watch import why_unknown

        unknown: list[Said] = []
        found: Forecast | None = None
        told: tuple[Alert, ...] = ()
        used = ""
        try:
            found, used = self._forecast(forecast, fetch)
        except InputError as error:
            unknown.append(Said("watch-not-had", why=str(error.faults[0])))
        try:
            told = self._alerts(alerts, fetch)
        except InputError as error:
            unknown.append(Said("watch-no-alerts", why=str(error.faults[0])))
        if found is not None:
            unknown += why_unknown(found, self.clock)
        then = f"bracing storm {quoted(str(self.folder))} --forecast {quoted(used)}" if used else ""
        return self._seen(found, told, tuple(unknown)), then

    def _seen(self, forecast: Forecast | None, alerts: tuple[Alert, ...], unknown: tuple[Said, ...]) -> Look:
        from concurrent.futures import ProcessPoolExecutor

        from bracing.errors import InputError
        from bracing.reading.jobs import read_job
        from bracing.reading.source import wall_folder
        from bracing.storm.alerts import with_alerts
        from bracing.storm.answer import LEAD
        from bracing.storm.folder import Asking, storm_folder
        from bracing.storm.watch import Look, seen_in, seen_without

        found = wall_folder(self.folder)
        look = Look(self.name, self.clock, (), unknown, forecast, alerts, left_out=found.left_out)
        if unknown or forecast is None:
            jobs: list[Job] = []
            faults: list[Fault] = []
            for path in found.files:
                try:
                    jobs.append(read_job(path))
                except InputError as error:
                    faults += error.faults
            walls, more = seen_without(jobs, self.clock)
            return evolve(look, walls=walls, faults=(*faults, *more))
        raised = with_alerts(forecast, alerts, self.clock)
        answer = Asking(raised, self.clock, LEAD, None, None)
        with ProcessPoolExecutor() if len(found.files) >= MANY_WALLS else nullcontext() as executor:
            if executor is not None:
                executor.submit(int).result()
            job = storm_folder(found.files, answer, read_job, executor=executor)
        return evolve(look, walls=seen_in(job), faults=job.faults)

    def _forecast(self, path: str | None, fetch: str | None) -> tuple[Forecast, str]:
        from bracing.reading.forecast import forecast_of, read_forecast
        from bracing.site.fetch import addresses

        if path is not None:
            return read_forecast(path, self.clock), path
        url = addresses(fetch or "", grid=self.watched.grid, point=self.watched.point)[0]
        source = self._fetched(url or "", "a forecast")
        return forecast_of(source, self.clock), self._kept(source)

    def _alerts(self, path: str | None, fetch: str | None) -> tuple[Alert, ...]:
        from bracing.reading.alerts import alerts_of, read_alerts
        from bracing.site.fetch import addresses

        if path is not None:
            return read_alerts(path, self.clock)
        url = None if fetch is None else addresses(fetch, grid=self.watched.grid, point=self.watched.point)[1]
        return () if url is None else alerts_of(self._fetched(url, "alerts"), self.clock)

    def _fetched(self, url: str, kind: str) -> SourceText:
        from bracing.site.fetch import fetched

        return fetched(url, mail=next(iter(self.watched.mail), None), kind=kind)

    def _kept(self, source: SourceText) -> str:
        """Keep a forecast that was fetched, so that the next command can be typed; nothing at a dry run."""
        from bracing.reading.files import put_in_place
        from bracing.reading.log import KEPT

        if self.dry_run:
            return ""
        path = self.folder / KEPT / FETCHED
        try:
            put_in_place(path, source.text.encode())
        except OSError:
            return ""
        return str(path)

    # -- telling it --------------------------------------------------------------------------------------

    def tell(
        self, look: Look, *, daily: bool, page: Page, then: str
    ) -> tuple[News | None, MessageJson | None, tuple[str, ...]]:
        """Send what is news, and what is still to be sent of before.

        Args:
            look: what is seen.
            daily: a message is sent in any case.
            page: how quantities are written.
            then: the command that says what to add.

        Returns:
            Why a message is sent, the message, and why somebody has not got it.
        """
        from bracing.reading.log import KEPT
        from bracing.site.kept import STATE, read_state, write_state
        from bracing.site.post import send
        from bracing.storm.watch import TWICE, News, news_of
        from bracing.text.watch import PHONE, message_of

        path = self.folder / KEPT / STATE
        state = read_state(path)
        if state.broken:
            tell(f"{path}: begun anew: {state.broken}")
        news = news_of(look, state.told, state.warned)
        better = state.better + 1 if news is News.BETTER else 0
        if news is News.BETTER and better < TWICE:
            news = None
        if daily:
            news = news if news in (News.WORSE, News.BETTER) else News.DAILY
        message = None if news is None else message_of(
            look, news, page=evolve(PHONE, metric=page.metric), then=then, head=_head(self.folder)
        )  # fmt: skip
        state = evolve(state, better=better)
        if message is not None and news is not None:
            state = self._with_message(state, look, news, message)
        if self.dry_run:
            return news, None if message is None else _as_json(state), ()
        state = write_state(path, state)
        unsent: tuple[str, ...] = ()
        sent = state.outgoing
        if sent is not None:
            before = sent.sent
            sent, why = send(sent, self.watched)
            unsent = tuple(f"NOT SENT to {line}" for line in why)
            state = write_state(path, evolve(state, outgoing=sent))
            _log_sent(self.folder, state.outgoing, self.clock, before=before)
        shown = _as_json(state) if message is not None else None
        if sent is not None and not sent.waiting:
            write_state(path, evolve(state, outgoing=None))
        return news, shown, unsent

    def _with_message(self, state: State, look: Look, news: News, message: Message) -> State:
        """The state with a message to be sent; it takes the place of one somebody has not got: it says all anew."""
        from bracing.site.kept import Outgoing
        from bracing.site.post import receivers

        id_ = f"<{uuid.uuid4()}@bracing.invalid>"
        body = {
            **look.to_dict(news, None),
            "message": {"id": id_, "subject": message.subject, "text": message.text},
        }
        at = look.clock.local(look.clock.now).isoformat()
        text = json_text.dumps(_words(body), ensure_ascii=False, sort_keys=True)
        out = Outgoing(id_, at, message.subject, message.text, receivers(self.watched), (), text)
        warned = tuple((row[0], row[1]) for row in look.warned)
        return evolve(state, told=look.told, warned=warned, better=0, outgoing=out)


def _head(folder: Path) -> str:
    """Head of the log, so that a log cut short can be told from a message; nothing where none was begun."""
    from bracing.reading.log import KEPT, LOG, head_of, read_rows

    path = folder / KEPT / LOG
    return head_of(read_rows(path)) if path.is_file() else ""


def _log_sent(folder: Path, out: Outgoing | None, clock: Clock, *, before: tuple[str, ...]) -> None:
    """Note in the log who has a message now."""
    from bracing.reading.log import KEPT, LOG, SENT, writing

    path = folder / KEPT / LOG
    if out is not None and len(out.sent) > len(before) and path.is_file():
        with writing(path, clock.now) as log:
            to = list(out.sent[len(before) :])
            log.add(SENT, {"id": out.id, "subject": out.subject, "to": to})


def _words(body: object) -> object:
    from bracing.text.quantities import in_words

    return in_words(body)


def _as_json(state: State) -> MessageJson | None:
    out = state.outgoing
    if out is None:
        return None
    return {
        "id": out.id, "subject": out.subject, "text": out.text, "sent": list(out.sent), "unsent": list(out.waiting),
    }  # fmt: skip
