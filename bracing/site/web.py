"""The pages of a job, as a plain WSGI app: each shows what a command answers, and works without a script."""

from __future__ import annotations

import contextlib
import json
import secrets
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from attrs import frozen
from flask import Flask, Response, abort, current_app, g, redirect, request
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as BaseResponse

from bracing.drawing.glyphs import GLYPHS, svg
from bracing.errors import InputError, visible
from bracing.reading.files import begin
from bracing.reading.log import head_of, read_rows
from bracing.results import CAUTIONS, LIMIT_STATEMENT
from bracing.said import Kind, Quantity, Said
from bracing.sheet.writing import policy
from bracing.site import sums, walking
from bracing.site.desk import Desk, in_order
from bracing.site.filling import Tongue, answered, environment, part
from bracing.site.guards import COOKIE, WHO, Served, guard, needs
from bracing.site.links import Link, Role, hashed, new_link
from bracing.site.record import at_of, of_day, told
from bracing.site.sums import Refused, Tonight, Worked
from bracing.site.walks import Taken
from bracing.stages.take_down import Event
from bracing.storm.forecast import utc_now

SHOWN_ROWS = 60
TAG_DAYS = 180
MM = 30.0  # side of the code on a tag, without its margin
MARGIN = 4  # modules
YEAR_S = 365 * 86400
TYPES = {"page.css": "text/css", "page.js": "text/javascript", "worker.js": "text/javascript"}
Answer = BaseResponse | str | tuple[str, int]


@frozen(eq=False)
class Pages:
    """What every page needs.

    Attributes:
        desk: the folder.
        served: where it is served.
    """

    desk: Desk
    served: Served

    @property
    def tongue(self) -> Tongue:
        """How they say things."""
        return Tongue(self.desk.language)

    # -- what they share ---------------------------------------------------------------------------------

    def page(self, name: str, **content: object) -> str:
        """Fill a page.

        Args:
            name: its template.
            content: what it prints.
        """
        now = self.desk.clock()
        link: Link | None = g.get("link")
        shared = {
            "job_name": self.desk.name, "form": g.get("form", ""), "made": now.text(now.now),
            "made_ms": int(now.now.timestamp() * 1000), "cautions": CAUTIONS,
            "may_walk": link is not None and link.role.covers(Role.WALK), "who": request.cookies.get(WHO, ""),
            "may_office": link is not None and link.role.covers(Role.OFFICE), "again": 0, "back": None,
        }  # fmt: skip
        return str(environment(self.desk.language).get_template(name).render(**{**shared, **content}))

    def file(self, wall: str) -> Path:
        """Give a wall file by its id.

        Args:
            wall: the id.
        """
        found = self.desk.files()[0].get(wall)
        if found is None:
            abort(404)
        return found

    def one(self, wall: str) -> Worked | None:
        """Give what is worked out of one wall; None while it is.

        Args:
            wall: its id.
        """
        file = self.file(wall)
        return self.desk.walls([file])[file]

    def instead(self, wall: str, one: Worked | None) -> Answer:
        """Give what is shown of a wall that is not worked out yet, or whose file cannot be read.

        Args:
            wall: its id.
            one: what is worked out of it; None while it is.
        """
        if one is None:
            return self.waiting(wall, f"/w/{wall}")
        return self.refused(tuple(map(str, one.faults)), 400, "/")

    def waiting(self, title: str, back: str | None = None) -> Response:
        """Give the page of what is being worked out: it asks again by itself.

        Args:
            title: what is.
            back: the page before it.
        """
        made = Response(self.page("waiting.html", title=title, again=3, back=back), status=200)
        made.headers["Refresh"] = "3"
        return made

    def refused(self, lines: tuple[str, ...], status: int = 400, back: str | None = None) -> tuple[str, int]:
        """Give the page of what was refused.

        Args:
            lines: why, a line each.
            status: its status.
            back: the page before it.
        """
        return self.page("refused.html", lines=lines, back=back), status

    def given(self, key: object, task: Callable[[], Any], mimetype: str) -> Answer:
        """Give what a task makes, as it is.

        Args:
            key: the same for the same answer.
            task: what makes it.
            mimetype: what it is.
        """
        found = self.desk.answer(key, task)
        if found is None:
            return self.refused((self.tongue.plain(Said("page-working")),), 503)
        if isinstance(found, Refused):
            return self.refused(found.lines)
        return Response(found, mimetype=mimetype)


@frozen(eq=False)
class JobPages(Pages):
    """The job, its log, and coming in."""

    def job(self) -> Answer:
        """Every wall, worst first."""
        files, left = self.desk.files()
        found = self.desk.walls(files.values())
        known = in_order(one for one in found.values() if one is not None)
        ids = {file: id_ for id_, file in files.items()}
        pending = [(ids[file], file.stem) for file, one in found.items() if one is None]
        bare = sum(one.bare for one in known)
        rows = [(ids[one.file], one) for one in known]
        out = Response(self.page(
            "job.html", bare=rows[:bare], rows=rows[bare:], pending=pending, left_out=list(map(str, left)),
            statement=LIMIT_STATEMENT, again=3 if pending else 0,
        ))  # fmt: skip
        if pending:
            out.headers["Refresh"] = "3"
        return out

    def index(self, form: str) -> Response:
        """Every wall as text or JSON.

        Args:
            form: txt or json.
        """
        files, left = self.desk.files()
        found = self.desk.walls(files.values())
        ids = {file: id_ for id_, file in files.items()}
        known = in_order(one for one in found.values() if one is not None)
        pending = [ids[file] for file, one in found.items() if one is None]
        if form == "json":
            walls = [{"id": ids[one.file], **one.numbers} for one in known if one.job is not None]
            faults = [fault.to_dict() for one in known for fault in one.faults]
            tree = {
                "job": self.desk.name, "walls": walls, "errors": faults, "working": pending,
                "left_out": [fault.to_dict() for fault in left],
            }  # fmt: skip
            return Response(json.dumps(tree, indent=2), mimetype="application/json")
        lines = [visible(line) for one in known for line in _lines(one)]
        lines += [f"{id_}: {Tongue().plain(Said('page-working'))}" for id_ in pending]
        return Response("\n".join(lines) + "\n", mimetype="text/plain")

    def log(self, form: str = "html") -> Answer:
        """What was found, written and sent; with a day only what was on it.

        Args:
            form: html or json.
        """
        needs(Role.OFFICE)()
        rows, clock = read_rows(self.desk.log), self.desk.clock()
        day = request.args.get("day", "").strip()[:40]
        of = of_day(rows, day, clock, asked="day") if day else rows if form == "json" else rows[-SHOWN_ROWS:]
        shown = [
            {
                "seq": row.seq, "at": at_of(row, clock), "wall": row.wall, "told": told(row), "who": row.who,
                "link": row.link,
            }
            for row in reversed(of)
        ]  # fmt: skip
        if form == "json":
            tree = {"head": rows[-1].hash if rows else "", "rows_in_all": len(rows), "rows": shown}
            return Response(json.dumps(tree, indent=2), mimetype="application/json")
        return self.page("log.html", rows=shown, day=day, count=len(rows), head=head_of(rows), back="/")

    def come_in(self, token: str) -> Answer:
        """Take a link for a cookie.

        Args:
            token: as it stands in the link.
        """
        link = self.desk.links().get(hashed(token))
        bad = current_app.extensions["bracing"]
        if bad.full(request.remote_addr or "", count=link is None):
            abort(429)
        now = self.desk.clock().now
        if link is None or not link.counts(now):
            abort(403)
        wall = request.args.get("to", "")
        known = wall in self.desk.files()[0]
        made = redirect(f"/w/{wall}" if known else "/", 303)
        made.set_cookie(
            COOKIE, token, max_age=max(0, link.until // 1000 - int(now.timestamp())), httponly=True, samesite="Lax",
            secure=self.served.secure, path="/",
        )  # fmt: skip
        made.headers["Referrer-Policy"] = "no-referrer"
        return made


@frozen(eq=False)
class WallPages(Pages):
    """A wall, and what is asked of it by itself."""

    def wall(self, wall: str) -> Answer:
        """One wall: its numbers, its picture, a card a brace; with .json after its id what `check --json` gives.

        Args:
            wall: its id.
        """
        if wall.endswith(".json"):
            return self._json(wall.removesuffix(".json"))
        one = self.one(wall)
        if one is None:
            return self.waiting(self.file(wall).stem, "/")
        if one.job is None:
            return self.refused(tuple(map(str, one.faults)), 200, "/")
        walk = None
        if one.job.wall.up:
            begin()
            walk = walking.round_of(one.file, self.desk.log, one.filed)
        return self.page("wall.html", id=wall, one=one, job=one.job, walk=walk, back="/")

    def _json(self, wall: str) -> Answer:
        one = self.one(wall)
        if one is None or one.job is None:
            return self.refused(
                () if one is None else tuple(map(str, one.faults)), 503 if one is None else 400
            )
        return self.given(("json", one.job.sha256), partial(sums.wall_json, one.file), "application/json")

    def picture(self, wall: str, number: int) -> Answer:
        """A drawing.

        Args:
            wall: the wall's id.
            number: 0 the wall, then its braces.
        """
        one = self.one(wall)
        if one is None or one.job is None or number > len(one.job.braces):
            abort(404)
        key = ("svg", one.job.sha256, number)
        return self.given(key, partial(sums.wall_svg, one.file, number), "image/svg+xml")

    def told(self, wall: str, kind: str) -> Answer:
        """A page that is the answer of a command.

        Args:
            wall: the wall's id.
            kind: lift or take-down.
        """
        one = self.one(wall)
        if one is None or one.job is None:
            return self.instead(wall, one)
        asked = request.args
        text = {name: asked.get(name, "").strip()[:80] for name in ("gust", "people", "out")}
        done = tuple(asked.getlist("done"))[:10]
        found: object = ""
        if kind == "lift":
            found = self.desk.answer(
                ("lift", one.job.sha256, text["gust"], text["people"]),
                partial(sums.wall_lift, one.file, text["gust"], text["people"], language=self.desk.language),
            )  # fmt: skip
        elif text["gust"]:
            found = self.desk.answer(
                ("down", one.job.sha256, text["gust"], done, text["out"]),
                partial(
                    sums.wall_take_down, one.file, text["gust"], done=done, out=text["out"],
                    language=self.desk.language,
                ),
            )  # fmt: skip
        if found is None:
            return self.waiting(one.job.wall.name, f"/w/{wall}")
        lines = found.lines if isinstance(found, Refused) else ()
        shown = self.page(
            f"{kind}.html", id=wall, job=one.job, asked=text, done=done, events=[str(event) for event in Event],
            told="" if isinstance(found, Refused) else found, lines=lines, back=f"/w/{wall}",
        )  # fmt: skip
        return (shown, 400) if lines else shown

    def sheet(self, wall: str) -> Answer:
        """The page for the crew, as `sheet` writes it.

        Args:
            wall: the wall's id.
        """
        one = self.one(wall)
        if one is None or one.job is None:
            return self.instead(wall, one)
        gust = request.args.get("gust", "").strip()[:80]
        if not gust and not one.job.braces:
            return self.page("ask-gust.html", id=wall, job=one.job, back=f"/w/{wall}")
        found = self.desk.answer(
            ("sheet", one.job.sha256, gust), partial(sums.wall_sheet, one.file, gust, self.desk.language)
        )
        if found is None:
            return self.waiting(one.job.wall.name, f"/w/{wall}")
        if isinstance(found, Refused):
            return self.refused(found.lines, 400, f"/w/{wall}")
        made = Response(found)
        made.headers["Content-Security-Policy"] = f"{policy()}; frame-ancestors 'none'"
        return made

    def tag(self, wall: str) -> Answer:
        """The tag for the wall, with a code that opens its page; posted, one anybody may open who stands there.

        Args:
            wall: the wall's id.
        """
        one = self.one(wall)
        if one is None or one.job is None:
            return self.instead(wall, one)
        url, anybody = f"{self.served.url}/w/{wall}", request.method == "POST"
        if anybody:
            needs(Role.WALK)()
            _, token = new_link(self.desk.log, Role.LOOK, self.desk.clock().now, days=TAG_DAYS)
            url = f"{self.served.url}/k/{token}?{urlencode({'to': wall})}"
        rows = read_rows(self.desk.log)
        return self.page(
            "tag.html", id=wall, one=one, job=one.job, code=code_of(url), anybody=anybody, head=head_of(rows),
            url=f"{self.served.url}/w/{wall}", back=f"/w/{wall}",
        )  # fmt: skip


@frozen(eq=False)
class WalkPages(Pages):
    """A walk: each thing to answer, and the end of it."""

    def _round(self, wall: str) -> walking.Round:
        needs(Role.WALK)()
        begin()
        return walking.round_of(self.file(wall), self.desk.log)

    def walk(self, wall: str, *, whole: bool = False) -> Answer:
        """Where a walk stands, and each thing to answer; or all of them on a page for where there is no signal.

        Args:
            wall: the wall's id.
            whole: all on a page.
        """
        here = self._round(wall)
        return self.page(
            "walk-all.html" if whole else "walk.html", id=wall, here=here, **_forms(), back=f"/w/{wall}"
        )

    def step(self, wall: str, slug: str) -> Answer:
        """One brace or thing: what should be there, and what is.

        Args:
            wall: the wall's id.
            slug: the step's name.
        """
        here = self._round(wall)
        step = here.step(slug) or abort(404)
        if request.method == "GET":
            taken = request.args.get("taken", "")
            return self._step(wall, here, step, taken=taken if taken in tuple(Taken) else "")
        answer = walking.answer_of(step, request.form)
        wrong = walking.refused(here, step, answer, form=request.form)
        if wrong is not None:
            return self._step(wall, here, step, lines=(self.tongue.plain(wrong),)), 400
        try:
            given = walking.Given.of(request.form, g.link.id)
        except InputError as error:
            return self._step(wall, here, step, lines=_plain(error)), 400
        taken = walking.keep(here, step, given, answer=answer, log=self.desk.log, now=self.desk.clock().now)
        there = (
            f"/w/{wall}/walk/all#{slug}"
            if request.form.get("all")
            else self._next(wall, here, slug, taken=taken)
        )
        made = redirect(there, 303)
        self._remember(made, given.who)
        return made

    def _next(self, wall: str, here: walking.Round, slug: str, *, taken: Taken) -> str:
        """Where a person goes on: to what is still to be answered, or back where the answer was not plainly kept."""
        after = walking.round_of(here.file, self.desk.log).after(slug)
        plain = taken in (Taken.KEPT, Taken.REPEATED)
        place = slug if not plain else "finish" if after is None else after.slug
        return f"/w/{wall}/walk/{place}?taken={taken.value}"

    def _remember(self, made: Any, who: str) -> None:  # noqa: ANN401  (the library's own type)
        made.set_cookie(
            WHO, who, max_age=YEAR_S, httponly=True, samesite="Lax", secure=self.served.secure, path="/"
        )

    def _step(self, wall: str, here: walking.Round, step: walking.Step, **more: Any) -> str:  # noqa: ANN401
        content = {"lines": (), "taken": "", **_forms(), **more}
        return self.page("step.html", id=wall, here=here, step=step, back=f"/w/{wall}/walk", **content)

    def finish(self, wall: str) -> Answer:
        """What was found, and the button that writes it into the wall file.

        Args:
            wall: the wall's id.
        """
        here = self._round(wall)
        lines: tuple[str, ...] = ()
        if request.method == "POST":
            form = request.form
            try:
                walking.finish(
                    here, log=self.desk.log, by=form.get("by", ""), heads=form.get("heads", ""), clock=self.desk.clock()
                )  # fmt: skip
            except InputError as error:
                lines = _plain(error)
                here = self._round(wall)
            else:
                made = redirect(f"/w/{wall}", 303)
                self._remember(made, walking.role_of(form.get("by", "")))
                return made
        taken = request.args.get("taken", "")
        shown = self.page(
            "finish.html", id=wall, here=here, lines=lines, back=f"/w/{wall}/walk",
            taken=taken if taken in tuple(Taken) else "",
        )  # fmt: skip
        return (shown, 400) if lines else shown

    def entries(self) -> Answer:
        """Take in what a phone kept while it had no signal: each is answered for by itself."""
        link = needs(Role.WALK)()
        tree = request.get_json(force=True, silent=True)
        if not isinstance(tree, list) or len(tree) > 200:
            abort(400)
        made = Response(json.dumps([self._entry(one, link) for one in tree]), mimetype="application/json")
        with contextlib.suppress(InputError, AttributeError, IndexError, TypeError):
            self._remember(made, walking.role_of(tree[-1].get("by", "")))
        return made

    def _entry(self, one: object, link: Link) -> dict[str, object]:
        if not isinstance(one, dict) or not all(isinstance(value, str) for value in one.values()):
            return {"id": None, "taken": "refused", "why": ["an entry of texts"]}
        id_ = one.get("id")
        file = self.desk.files()[0].get(one.get("wall", ""))
        if file is None:
            return {"id": id_, "taken": "refused", "why": ["no such wall"]}
        try:
            begin()
            here = walking.round_of(file, self.desk.log)
            step = here.step(one.get("step", ""))
            if step is None:
                return {"id": id_, "taken": "refused", "why": ["no such brace or thing on this wall now"]}
            answer = walking.answer_of(step, one)
            wrong = walking.refused(here, step, answer, form=one)
            if wrong is not None:
                return {"id": id_, "taken": "refused", "why": [self.tongue.plain(wrong)]}
            given = walking.Given.of(one, link.id)
            taken = walking.keep(
                here, step, given, answer=answer, log=self.desk.log, now=self.desk.clock().now
            )
        except InputError as error:
            return {"id": id_, "taken": "refused", "why": list(_plain(error))}
        after = walking.round_of(file, self.desk.log).step(step.slug)
        return {
            "id": id_, "taken": taken.value, "why": [], "next": self._next(one["wall"], here, step.slug, taken=taken),
            "told": "" if after is None else self.tongue.plain(answered(after)),
        }  # fmt: skip


@frozen(eq=False)
class TonightPages(Pages):
    """Tonight's wind over all walls."""

    def storm(self) -> Answer:
        """A forecast against every wall: what is pasted is read back for a yes, then the walls to do first."""
        needs(Role.WALK)()
        form = {name: request.form.get(name, "").strip() for name in _TONIGHT}
        if request.method == "GET":
            return self.page("storm.html", asked=form, lines=(), read="", back="/")
        typed = {name: form[name] or None for name in ("gust", "sustained", "start", "until")}
        crew = {name: form[name] or None for name in ("people", "hours", "on_hand")}
        one = Tonight(utc_now(), self.desk.zone, form["pasted"], typed, bool(form["storms"]), crew)
        try:
            begin()
            forecast, _ = one.read()
        except InputError as error:
            return self.page("storm.html", asked=form, lines=_plain(error), read="", back="/"), 400
        if form["pasted"] and form["yes"] != "yes":
            read = forecast.understood or Said(
                "page-read-rows", count=len(forecast.hours), gust=Quantity(forecast.highest, Kind.ASKED)
            )
            return self.page("storm.html", asked=form, lines=(), read=self.tongue.plain(read), back="/")
        key = secrets.token_hex(8)
        self.desk.answer(
            ("storm", key),
            partial(sums.folder_storm, self.desk.folder, one, self.desk.language),
            patience=0.0,
        )
        return redirect(f"/storm/{key}", 303)

    def tonight(self, key: str) -> Answer:
        """The answer to a forecast that was asked.

        Args:
            key: under which it was.
        """
        needs(Role.WALK)()
        try:
            found = self.desk.answer(("storm", key))
        except KeyError:
            return redirect("/storm", 303)
        if found is None:
            return self.waiting(self.tongue.plain(Said("page-storm")), "/storm")
        if isinstance(found, Refused):
            return self.refused(found.lines, 400, "/storm")
        return self.page("told.html", title=self.tongue.plain(Said("page-storm")), told=found, back="/storm")


_TONIGHT = ("pasted", "gust", "sustained", "start", "until", "storms", "people", "hours", "on_hand", "yes")


def _forms() -> dict[str, object]:
    return {"new_id": lambda: secrets.token_hex(16)}


def _plain(error: InputError) -> tuple[str, ...]:
    return tuple(str(fault).removeprefix("command line: ").removeprefix("--") for fault in error.faults)


def _lines(one: Worked) -> list[str]:
    if one.job is None:
        return [str(fault) for fault in one.faults]
    said = [one.english.words[place] for place in ("out", "storm", "limit")]
    return [f"{one.job.wall.name}, {one.job.state}: {'. '.join(filter(None, said))}"]


def code_of(url: str) -> str:
    """Draw a code a phone reads, as an image in the page itself: 30 mm, a margin of four modules.

    Args:
        url: what it opens.
    """
    import segno

    made = segno.make(url, error="q", boost_error=False, micro=False)
    modules = made.symbol_size(scale=1, border=0)[0]
    return str(made.svg_data_uri(scale=round(MM / modules, 4), unit="mm", border=MARGIN, light="#fff"))


def app_of(desk: Desk, served: Served) -> Flask:
    """Make the pages of a folder.

    Args:
        desk: the folder.
        served: where they are served.
    """
    app = Flask("bracing", static_folder=None, template_folder=None)
    guard(app, desk, served)
    job, walls = JobPages(desk, served), WallPages(desk, served)
    walks, tonight = WalkPages(desk, served), TonightPages(desk, served)
    both = ["GET", "POST"]
    for rule, name, view, methods in (
        ("/", "job", job.job, None), ("/w/<wall>", "wall", walls.wall, None),
        ("/w/<wall>/picture/<int:number>.svg", "picture", walls.picture, None),
        ("/w/<wall>/lift", "lift", lambda wall: walls.told(wall, "lift"), None),
        ("/w/<wall>/take-down", "take_down", lambda wall: walls.told(wall, "take-down"), None),
        ("/w/<wall>/sheet", "sheet", walls.sheet, None), ("/w/<wall>/tag", "tag", walls.tag, both),
        ("/w/<wall>/walk", "walk", walks.walk, None),
        ("/w/<wall>/walk/all", "walk_all", lambda wall: walks.walk(wall, whole=True), None),
        ("/w/<wall>/walk/finish", "finish", walks.finish, both),
        ("/w/<wall>/walk/<slug>", "step", walks.step, both),
        ("/entries", "entries", walks.entries, ["POST"]), ("/storm", "storm", tonight.storm, both),
        ("/storm/<key>", "tonight", tonight.tonight, None), ("/log", "log", job.log, None),
        ("/log.json", "log_json", lambda: job.log("json"), None), ("/k/<token>", "come_in", job.come_in, None),
        ("/index.json", "index_json", lambda: job.index("json"), None),
        ("/index.txt", "index_txt", lambda: job.index("txt"), None),
        ("/health", "health", lambda: Response("ok\n", mimetype="text/plain"), None),
        ("/page.css", "style", lambda: _file("page.css"), None), ("/page.js", "script", lambda: _file("page.js"), None),
        ("/worker.js", "worker", lambda: _file("worker.js"), None),
        ("/picture/<name>.svg", "glyph", partial(_glyph, desk.language), None),
    ):  # fmt: skip
        app.add_url_rule(rule, name, view, methods=methods or ["GET"])
    _faults(app, job)
    return app


def _file(name: str) -> Response:
    made = Response(part(name), mimetype=TYPES[name])
    made.headers["Cache-Control"] = "no-cache"
    return made


def _glyph(language: str, name: str) -> Response:
    if name not in GLYPHS:
        abort(404)
    return Response(svg(name, language), mimetype="image/svg+xml")


def _faults(app: Flask, pages: Pages) -> None:
    """Every fault as a page of a line each; of our own no more than that it is ours."""

    def http(error: HTTPException) -> tuple[str, int]:
        status = error.code or 500
        return pages.refused(
            (pages.tongue.plain(_WHY.get(status, error.name)),), status, "/" if g.get("link") else None
        )

    def bad(error: InputError) -> tuple[str, int]:
        return pages.refused(_plain(error), 400, "/")

    def ours(error: Exception) -> tuple[str, int]:
        line = visible(f"{type(error).__name__}: {' '.join(str(error).split())[:200]}")
        app.logger.error("%s %s", visible(request.path)[:200], line)
        return pages.refused((pages.tongue.plain(Said("page-our-fault")),), 500, "/")

    app.register_error_handler(HTTPException, http)
    app.register_error_handler(InputError, bad)
    app.register_error_handler(Exception, ours)


_WHY = {
    400: Said("page-bad"), 403: Said("page-no-link"), 404: Said("page-none"), 413: Said("page-too-much"),
    429: Said("page-too-often"),
}  # fmt: skip
