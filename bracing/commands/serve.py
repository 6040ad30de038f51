"""`bracing serve`: the pages of a folder of walls, for phones at the wall and for the office."""

from __future__ import annotations

import ipaddress
import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn
from urllib.parse import urlsplit

import typer

from bracing.commands.check import JSON
from bracing.commands.output import WITHIN, as_json, finish, page_of, put, tell
from bracing.commands.wall_options import quoted

if TYPE_CHECKING:
    from bracing.results import LinkedJson
    from bracing.site.desk import Desk
    from bracing.site.guards import Served
    from bracing.site.links import Link

FOLDER = typer.Argument(metavar="FOLDER", help="the folder of wall files", show_default=False)
HOST = typer.Option(help="the address it listens at; any but this computer's own needs --public")
PORT = typer.Option(help="the port it listens at; 0 takes a free one", min=0, max=65535)
PUBLIC = typer.Option(
    help="the address people type, such as https://walls.example.invalid", show_default=False
)
PROXY = typer.Option(
    help="IP address of a proxy before it, whose word of who asks counts", show_default=False
)
NEW_LINK = typer.Option(help="make a link and end: look, walk or office", show_default=False)
DAYS = typer.Option(help="how many days the link counts")
REVOKE = typer.Option(help="take back the link of this id and end", show_default=False)
THREADS = 8
OFFICE_DAYS = 90


def serve(
    folder: Annotated[str, FOLDER],
    *,
    host: Annotated[str, HOST] = "127.0.0.1",
    port: Annotated[int, PORT] = 8100,
    public: Annotated[str | None, PUBLIC] = None,
    proxy: Annotated[str | None, PROXY] = None,
    new_link: Annotated[str | None, NEW_LINK] = None,
    days: Annotated[int, DAYS] = OFFICE_DAYS,
    revoke: Annotated[str | None, REVOKE] = None,
    json: Annotated[bool, JSON] = False,
) -> None:
    """Serve the pages of a folder of walls: job, walls, walks, tonight's wind, sheets and tags."""
    from bracing.reading.source import wall_folder
    from bracing.site.walks import noted
    from bracing.storm.clock import refuse
    from bracing.storm.forecast import utc_now

    where = Path(folder)
    if not where.is_dir():
        refuse("FOLDER", folder, "a folder of wall files")
    _refuse_address(host, public, proxy)
    if new_link is not None and revoke is not None:
        refuse("--revoke", revoke, "--new-link or --revoke, not both")
    files = wall_folder(where).files
    log = noted(where, files, utc_now())
    if new_link is not None or revoke is not None:
        _link(log, new_link, revoke, days, url=public or f"http://{_named(host)}:{port}", json=json)
    if json:
        refuse("--json", "alone", "--new-link or --revoke beside it")
    _serve(where, host, port, public=public, proxy=proxy)


def _refuse_address(host: str, public: str | None, proxy: str | None) -> None:
    from bracing.job.watched import LOOPBACK
    from bracing.storm.clock import refuse

    if public is not None:
        parts = urlsplit(public)
        if (
            parts.scheme not in ("http", "https")
            or not parts.hostname
            or parts.path.strip("/")
            or "@" in parts.netloc
        ):
            refuse("--public", public, "an address with no path, such as https://walls.example.invalid")
    elif host not in (*LOOPBACK, "::1"):
        refuse("--host", host, "127.0.0.1, or --public beside it: the address people type")
    if proxy is not None:
        try:
            ipaddress.ip_address(proxy)
        except ValueError:
            refuse("--proxy", proxy, "an IP address, such as 127.0.0.1")


def _named(host: str) -> str:
    return f"[{host}]" if ":" in host and not host.startswith("[") else host


def _link(log: Path, role: str | None, revoked: str | None, days: int, *, url: str, json: bool) -> NoReturn:
    """Make a link, or take one back."""
    from bracing.said import Said
    from bracing.site import links
    from bracing.storm.clock import refuse
    from bracing.storm.forecast import utc_now

    page = page_of(metric=False)
    if revoked is not None:
        one, shown = links.revoke(log, revoked, utc_now()), ""
        lines = page.para(page.said(Said("serve-revoked", id=one.id)))
    else:
        if role not in tuple(links.Role):
            refuse("--new-link", role, f"one of: {', '.join(links.Role)}")
        one, token = links.new_link(log, links.Role(role), utc_now(), days=days)
        shown = f"{url}/k/{token}"
        until = _json(one, shown)["until"][:10]
        lines = [
            *page.para(page.said(Said("serve-made", id=one.id, role=one.role.value, until=until))),
            shown,
        ]
    finish(as_json(_json(one, shown)) if json else "\n".join(lines), WITHIN)


def _json(one: Link, url: str) -> LinkedJson:
    from datetime import UTC, datetime

    from bracing.results import header_of_several

    until = datetime.fromtimestamp(one.until / 1000.0, UTC).isoformat(timespec="seconds")
    return {
        **header_of_several([one.id], "serve"), "id": one.id, "role": one.role.value, "until": until,
        "revoked": one.revoked, "link": url or None,
    }  # fmt: skip


def _serve(folder: Path, host: str, port: int, *, public: str | None, proxy: str | None) -> NoReturn:
    """Serve until it is ended."""
    from bracing.errors import InputError, MissingExtraError, why_not

    try:
        import waitress

        from bracing.site.desk import desk_of
        from bracing.site.guards import Served
        from bracing.site.web import app_of
    except ImportError as error:
        package = error.name or "flask"
        raise MissingExtraError(package, "page") from error
    trusted = (
        {"trusted_proxy": proxy, "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto"}}
        if proxy
        else {}
    )
    desk = desk_of(folder)
    apps: list[object] = []

    def app(environ: object, start: object) -> object:
        return apps[0](environ, start)  # type: ignore[operator]

    try:
        server = waitress.create_server(
            app, host=host, port=port, threads=THREADS, ident=None, clear_untrusted_proxy_headers=True,
            max_request_body_size=2_000_000, channel_timeout=60, **trusted,
        )  # fmt: skip
    except OSError as error:
        desk.close()
        option = "--port"
        raise InputError.of(option, port, f"a free port ({why_not(error)})") from None
    port = server.effective_port
    served = Served(*_names(host, port, public))
    apps.append(app_of(desk, served))
    signal.signal(signal.SIGTERM, _end)  # as a service is stopped
    try:
        _say(desk, served, host, public)
        server.run()
    finally:
        server.close()
        desk.close()
    raise typer.Exit(WITHIN)


def _end(*_: object) -> NoReturn:
    raise SystemExit(WITHIN)


def _names(host: str, port: int, public: str | None) -> tuple[str, tuple[str, ...]]:
    """Where it is reached, and every name it answers to."""
    own = tuple(f"{name}:{port}" for name in dict.fromkeys((_named(host), "127.0.0.1", "localhost", "[::1]")))
    if public is None:
        return f"http://{_named(host)}:{port}", own
    return public.rstrip("/"), (urlsplit(public).netloc, *own)


def _say(desk: Desk, served: Served, host: str, public: str | None) -> None:
    """Say where it is; and of a job that has none a link for the office, shown this once."""
    from bracing.job.watched import LOOPBACK
    from bracing.said import Said
    from bracing.site.links import Role, new_link

    page, now = page_of(metric=False), desk.clock().now
    folder = quoted(str(desk.folder))
    lines = page.para(page.said(Said("serve-at", count=len(desk.files()[0]), folder=folder, url=served.url)))
    counting = [one for one in desk.links().values() if one.counts(now)]
    if any(one.role is Role.OFFICE for one in counting):
        lines += page.para(page.said(Said("serve-links", count=len(counting), folder=folder)))
    else:
        _, token = new_link(desk.log, Role.OFFICE, now, days=OFFICE_DAYS)
        lines += [*page.para(page.said(Said("serve-link", days=OFFICE_DAYS))), f"{served.url}/k/{token}"]
    lines += page.para(page.said(Said("serve-more", folder=folder)))
    put(sys.stdout, "\n".join(lines) + "\n")
    if host not in (*LOOPBACK, "::1") and not (public or "").startswith("https://"):
        tell(page.said(Said("serve-open", host=host)))
