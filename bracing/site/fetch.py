"""Fetching a forecast and alerts, when told to: read within a time and a size, and by one name."""

from __future__ import annotations

import http.client
import time
import urllib.error
import urllib.request
from typing import Any
from urllib.parse import urlsplit

from bracing._version import __version__
from bracing.errors import InputError
from bracing.reading.source import MOST_BYTES, SourceText, source_of

TIMEOUT_S = 30.0
TRIES = 3
PAUSE_S = 2.0
TRY_AGAIN = (429, 500, 502, 503, 504)


class _SameHost(urllib.request.HTTPRedirectHandler):
    """Follows a redirect on the same server only."""

    def redirect_request(self, req: Any, fp: Any, code: int, msg: str, headers: Any, newurl: str) -> Any:  # noqa: ANN401  (the library's own types)
        """Refuse another server.

        Args:
            req: the request.
            fp: its answer.
            code: its status.
            msg: its words.
            headers: its headers.
            newurl: where it points.
        """
        there, here = urlsplit(newurl), urlsplit(req.full_url)
        if (there.scheme, there.netloc) != (here.scheme, here.netloc):
            raise urllib.error.HTTPError(req.full_url, code, "sent on to another server", headers, fp)
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def addresses(base: str, *, grid: str | None, point: str | None) -> tuple[str | None, str | None]:
    """Give where a forecast and its alerts are asked for.

    Args:
        base: the service, or the address of the forecast itself.
        grid: grid square of the job.
        point: place the alerts are for.

    Returns:
        The address of the forecast and of the alerts; None where nothing says which.

    Raises:
        InputError: no address.

    Example:
        >>> addresses("https://weather.example", grid="LOT/31,80", point=None)
        ('https://weather.example/gridpoints/LOT/31,80', None)
    """
    parts = urlsplit(base)
    if parts.scheme not in ("http", "https") or not parts.hostname or "@" in parts.netloc:
        option = "--fetch"
        raise InputError.of(option, base, "an address, such as https://api.weather.gov")
    service = f"{parts.scheme}://{parts.netloc}"
    own = parts.path.strip("/") != ""
    forecast = base if own else None if grid is None else f"{service}/gridpoints/{grid}"
    return forecast, None if point is None else f"{service}/alerts/active?point={point}"


def fetched(url: str, *, mail: str | None, kind: str) -> SourceText:
    """Fetch a page of a weather service.

    Args:
        url: where it is.
        mail: who asks, so that the service can write to them.
        kind: what it should be, for faults.

    Returns:
        The page.

    Raises:
        InputError: it could not be had, three times running; or it is no text, or too long.
    """
    who = f"bracing/{__version__}" + (f" ({mail})" if mail else "")
    asked = urllib.request.Request(
        url,
        headers={"User-Agent": who, "Accept": "application/geo+json, application/json, application/cap+xml"},
    )
    opener = urllib.request.build_opener(_SameHost)
    why = "no answer"
    for k in range(TRIES):
        if k:
            time.sleep(PAUSE_S * k)
        try:
            with opener.open(asked, timeout=TIMEOUT_S) as answer:
                return source_of(answer.read(MOST_BYTES + 1), file=url, kind=kind)
        except urllib.error.HTTPError as error:
            why = f"status {error.code}, {error.reason}"
            error.close()
            if error.code not in TRY_AGAIN:
                break
        except (urllib.error.URLError, http.client.HTTPException, OSError) as error:
            why = str(getattr(error, "reason", None) or error or type(error).__name__)
    where = "answer"
    raise InputError.of(where, why[:80], f"{kind} from the service", file=url)
