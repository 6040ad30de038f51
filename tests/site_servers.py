"""Real servers for the watch: one that plays recorded pages of a weather service and takes posts, and one for mail."""

from __future__ import annotations

import contextlib
import json
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

KMH = 1.609344


class Service:
    """What a server answers, by path, and what it was asked; a path may answer with a status alone."""

    def __init__(self) -> None:
        self.pages: dict[str, tuple[int, dict[str, str], str]] = {}
        self.asked: list[tuple[str, dict[str, str], bytes]] = []
        self.url = ""

    def play(self, path: str, page: Any, *, status: int = 200, **headers: str) -> None:
        text = page if isinstance(page, str) else json.dumps(page)
        self.pages[path] = (status, headers, text)


@contextlib.contextmanager
def served() -> Iterator[Service]:
    service = Service()

    class Handler(BaseHTTPRequestHandler):
        def log_message(self, *_: Any) -> None:
            return

        def do_GET(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
            service.asked.append((self.path, dict(self.headers), body))
            status, headers, text = service.pages.get(self.path, (404, {}, "{}"))
            self.send_response(status)
            for name, value in headers.items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(text.encode())))
            self.end_headers()
            self.wfile.write(text.encode())

        do_POST = do_GET  # noqa: N815

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    service.url = f"http://127.0.0.1:{server.server_port}"
    try:
        yield service
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


class Mailbox:
    """What came in by mail; `refuse` names those it takes nothing for."""

    def __init__(self) -> None:
        self.mails: list[Any] = []
        self.refuse: set[str] = set()

    async def handle_RCPT(
        self, _server: Any, _session: Any, envelope: Any, address: str, _options: Any
    ) -> str:
        if address in self.refuse:
            return "550 no such mailbox"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:
        self.mails.append(envelope)
        return "250 taken"


# -- pages as the service gives them, with wind of our own making ------------------------------------------

MORNING = datetime(2026, 3, 6, 12, tzinfo=UTC)  # 6 am in Chicago
NOW = "2026-03-06 06:00"


def layer(hours: list[tuple[datetime, float | None]]) -> dict[str, Any]:
    values = [
        {"validTime": f"{at.isoformat()}/PT1H", "value": None if mph is None else mph * KMH}
        for at, mph in hours
    ]
    return {"uom": "wmoUnit:km_h-1", "values": values}


def grid(
    gust: float, *, hours: int = 48, made: datetime = MORNING, start: datetime = MORNING, **more: Any
) -> Any:
    """A grid in which the gust blows from 8 pm to midnight, and 15 mph else."""
    evening = range(14, 18)
    at = [start + timedelta(hours=k) for k in range(hours)]
    gusts = [(when, gust if (when - MORNING) // timedelta(hours=1) in evening else 15.0) for when in at]
    inside = {
        "updateTime": made.isoformat(),
        "windGust": layer(gusts),
        "windSpeed": layer([(when, 10.0) for when in at]),
        **more,
    }
    return {"type": "Feature", "properties": inside}


def alert(
    event: str, *, id_: str = "urn:oid:1", start: int = 14, end: int = 18, **more: Any
) -> dict[str, Any]:
    """One alert, by hours after the morning."""
    moments = {
        name: (MORNING + timedelta(hours=k)).isoformat() for name, k in (("onset", start), ("ends", end))
    }
    inside = {
        "id": id_, "status": "Actual", "messageType": "Alert", "event": event, "references": [], "parameters": {},
        "sent": (MORNING - timedelta(hours=2)).isoformat(), "expires": (MORNING + timedelta(hours=3)).isoformat(),
        **moments, **more,
    }  # fmt: skip
    return {"type": "Feature", "geometry": None, "properties": inside}


def alerts(*features: dict[str, Any]) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": list(features), "updated": MORNING.isoformat()}


CAP = """<?xml version="1.0" encoding="UTF-8"?>
<alert xmlns="urn:oasis:names:tc:emergency:cap:1.2">
  <identifier>{id_}</identifier><sender>w@example.invalid</sender><sent>2026-03-06T04:00:00-06:00</sent>
  <status>{status}</status><msgType>{kind}</msgType><scope>Public</scope>
  <references>{references}</references>
  <info><category>Met</category><event>{event}</event><urgency>Expected</urgency><severity>Severe</severity>
    <certainty>Likely</certainty><onset>2026-03-06T20:00:00-06:00</onset>
    <expires>2026-03-07T00:00:00-06:00</expires>
    {parameters}
  </info>
</alert>
"""


def cap(event: str, *, id_: str = "urn:oid:1", status: str = "Actual", kind: str = "Alert", references: str = "",
        gust: str = "") -> str:  # fmt: skip
    parameters = (
        f"<parameter><valueName>maxWindGust</valueName><value>{gust}</value></parameter>" if gust else ""
    )
    return CAP.format(
        event=event, id_=id_, status=status, kind=kind, references=references, parameters=parameters
    )
