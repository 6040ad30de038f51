"""Who may ask what of the pages: links, forms of our own only, and no more than a person asks."""

from __future__ import annotations

import hmac
import threading
import time
from collections import deque
from collections.abc import Callable
from urllib.parse import urlsplit

from attrs import field, frozen
from flask import Flask, Request, Response, abort, g, request
from werkzeug.exceptions import HTTPException

from bracing.site.desk import Desk
from bracing.site.links import Link, Role, hashed

COOKIE, WHO = "bracing", "bracing_who"
FORM = "form"  # the field of a form that shows it is ours
MOST_BYTES, MOST_FIELDS = 1_000_000, 200
POSTS_A_MINUTE, BAD_A_MINUTE = 120, 10
OPEN = ("health", "come_in", "style", "script", "worker")  # what needs no link
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin", "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}  # fmt: skip


@frozen(eq=False)
class Often:
    """How often something was done in the last minute, by whom.

    Attributes:
        most: how often it may be.
    """

    most: int
    _times: dict[str, deque[float]] = field(factory=dict)
    _lock: threading.Lock = field(factory=threading.Lock)

    def full(self, who: str, *, count: bool = True) -> bool:
        """Whether somebody has done it too often.

        Args:
            who: who does it.
            count: they do it once more now.
        """
        now = time.monotonic()
        with self._lock:
            for name in [name for name, times in self._times.items() if times[-1] < now - 60.0]:
                del self._times[name]
            times = self._times.get(who, deque())
            while times and times[0] < now - 60.0:
                times.popleft()
            if len(times) >= self.most:
                return True
            if count:
                times.append(now)
                self._times[who] = times
            return False


@frozen
class Served:
    """Where the pages are served.

    Attributes:
        url: what stands before every address in a link that is given away.
        hosts: the names they answer to, each with its port.
    """

    url: str
    hosts: tuple[str, ...]

    @property
    def secure(self) -> bool:
        """Whether they are reached by HTTPS alone."""
        return self.url.startswith("https://")


def form_token(token: str) -> str:
    """Give what a form of ours carries, which nobody can make who has not the link.

    Args:
        token: of the link.
    """
    return hmac.new(token.encode("utf-8", "replace"), b"form", "sha256").hexdigest()


def guard(app: Flask, desk: Desk, served: Served) -> None:
    """Put the guards before every page.

    Args:
        app: the pages.
        desk: has the links.
        served: where they are served.
    """
    app.config.update(
        MAX_CONTENT_LENGTH=MOST_BYTES, MAX_FORM_MEMORY_SIZE=MOST_BYTES, MAX_FORM_PARTS=MOST_FIELDS
    )
    posts, bad = Often(POSTS_A_MINUTE), Often(BAD_A_MINUTE)

    def before() -> None:
        g.link, g.form = None, ""
        if request.host not in served.hosts:
            abort(400)
        address = request.remote_addr or ""
        token = request.cookies.get(COOKIE, "")
        link = desk.links().get(hashed(token)) if token else None
        if link is not None and link.counts(desk.clock().now):
            g.link, g.form = link, form_token(token)
        elif token and bad.full(address):
            abort(429)
        if g.link is None and request.endpoint not in OPEN:
            abort(403)
        if request.method not in ("GET", "HEAD"):
            _own(request, served)
            if posts.full(g.link.id if g.link else address):
                abort(429)

    app.before_request(before)
    app.after_request(_headed)
    app.extensions.update({"bracing": bad, "bracing-posts": posts})


def _own(asked: Request, served: Served) -> None:
    """Refuse a form that is not ours, or has too much in it."""
    origin, site = asked.headers.get("Origin"), asked.headers.get("Sec-Fetch-Site")
    if origin is not None and urlsplit(origin).netloc not in served.hosts:
        abort(403)
    if site is not None and site != "same-origin":
        abort(403)
    try:
        fields = sum(len(values) for _, values in asked.form.lists())
    except HTTPException:
        abort(413)
    if fields > MOST_FIELDS:
        abort(413)
    shown = asked.headers.get("X-Form") or asked.form.get(FORM, "")
    if not g.form or not hmac.compare_digest(shown.encode("utf-8", "replace"), g.form.encode()):
        abort(403)


def _headed(answer: Response) -> Response:
    for name, value in HEADERS.items():
        answer.headers.setdefault(name, value)
    answer.headers.setdefault("Content-Security-Policy", POLICY)
    answer.headers.setdefault("Referrer-Policy", "same-origin")
    answer.headers.setdefault("Cache-Control", "no-store")
    return answer


def needs(role: Role) -> Callable[[], Link]:
    """Give what refuses whoever may do less.

    Args:
        role: what is needed.
    """

    def link() -> Link:
        if g.link is None or not g.link.role.covers(role):
            abort(403)
        found: Link = g.link
        return found

    return link
