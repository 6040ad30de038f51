"""A folder of walls served within a test: its pages asked as a browser asks, worked out in the test's own process."""

from __future__ import annotations

import html
import re
from concurrent.futures import Future
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path

from bracing.reading.house import read_watched
from bracing.site.desk import Desk, wall_id
from bracing.site.guards import Served
from bracing.site.links import Role, new_link
from bracing.site.walks import noted
from bracing.site.web import app_of
from bracing.storm.forecast import utc_now

SERVED = Served("http://localhost", ("localhost",))


class Here:
    """Works a thing out when it is asked, in this process."""

    def submit(self, task, *given):
        future = Future()
        try:
            future.set_result(task(*given))
        except Exception as error:  # noqa: BLE001  (as a process gives it back)
            future.set_exception(error)
        return future

    def close(self):
        return None


class Visitor:
    """A browser with a link: what it last saw, and its forms filled in and sent."""

    def __init__(self, app, token):
        self.client = app.test_client()
        self.came = self.client.get(f"/k/{token}")
        self.text = ""

    def get(self, path, **more):
        answer = self.client.get(path, **more)
        self.text = answer.get_data(as_text=True)
        return answer

    def form(self, place="main"):
        """The hidden fields of the first form of a page that is sent."""
        part = self.text[self.text.index('method="post"') :]
        part = part[: part.index("</form>")]
        names = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', part)
        return {name: html.unescape(value) for name, value in names}

    def send(self, path, headers=None, **fields):
        """Open a page and send its form."""
        self.get(path)
        return self.post(path, {**self.form(), **fields}, headers=headers)

    def post(self, path, fields, headers=None):
        answer = self.client.post(path, data=fields, headers=headers or {})
        self.text = answer.get_data(as_text=True)
        return answer

    def answer(self, wall, step, by="lead framer", **fields):
        """Answer one step of a walk."""
        return self.send(f"/w/{wall}/walk/{step}", by=by, **fields)


@contextmanager
def pages_of(folder: Path):
    """A desk over a folder, its app, and what makes a visitor of a role."""
    log = noted(folder, tuple(sorted(folder.glob("[!j]*.toml"))), utc_now())
    named, _ = read_watched(folder)
    desk = Desk(folder, "Lot 14", "America/Chicago", named.language, numbers=Here(), long=Here())
    app = app_of(desk, SERVED)

    def visitor(role: Role = Role.OFFICE) -> Visitor:
        _, token = new_link(log, role, utc_now(), days=30)
        return Visitor(app, token)

    yield desk, app, visitor


class _Shown(HTMLParser):
    def __init__(self):
        super().__init__()
        self.words, self.tags, self.hidden = [], [], 0

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, tuple(sorted(name for name, _ in attrs))))
        self.hidden += tag in ("script", "style", "title")

    def handle_endtag(self, tag):
        self.hidden -= tag in ("script", "style", "title")

    def handle_data(self, data):
        if not self.hidden:
            self.words.append(data)


def read(text):
    """What a page says, and the tags it is made of."""
    parser = _Shown()
    parser.feed(text)
    return " ".join(" ".join(parser.words).split()), parser.tags


def told(text):
    """The answer of a command on its page, however its lines were broken."""
    part = text[text.index('<pre class="told">') + 18 :]
    return " ".join(html.unescape(part[: part.index("</pre>")]).split())


__all__ = ["Here", "Visitor", "pages_of", "read", "told", "wall_id"]
