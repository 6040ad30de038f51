"""Links into the pages of a job: what each may do and until when. The log keeps them, and of a token only its hash."""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta
from enum import StrEnum
from pathlib import Path

from attrs import evolve, frozen

from bracing.errors import InputError
from bracing.reading.log import LINK, read_rows, writing

TOKEN_BYTES = 32
LONGEST_DAYS = 730


class Role(StrEnum):
    """What a link may do; each may do all that stands before it."""

    LOOK = "look"  # see the walls: for a printed tag
    WALK = "walk"  # walk them, and ask about tonight
    OFFICE = "office"  # see the log

    def covers(self, asked: Role) -> bool:
        """Whether it may do what another may.

        Args:
            asked: the other.

        Example:
            >>> Role.WALK.covers(Role.LOOK), Role.WALK.covers(Role.OFFICE)
            (True, False)
        """
        order = tuple(Role)
        return order.index(self) >= order.index(asked)


@frozen
class Link:
    """One link.

    Attributes:
        id: by which it is named, and taken back.
        role: what it may do.
        until: when it ends, milliseconds since 1970.
        revoked: it was taken back.
    """

    id: str
    role: Role
    until: int
    revoked: bool = False

    def counts(self, now: datetime) -> bool:
        """Whether it still opens the pages.

        Args:
            now: the present moment.
        """
        return not self.revoked and now.timestamp() * 1000.0 < self.until


def hashed(token: str) -> str:
    """Give what is kept of a token.

    Args:
        token: as it stands in the link.
    """
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def new_link(log: Path, role: Role, now: datetime, *, days: int) -> tuple[Link, str]:
    """Make a link.

    Args:
        log: the log it is kept in.
        role: what it may do.
        now: the present moment.
        days: how long it counts.

    Returns:
        The link and its token, which is nowhere else.

    Raises:
        InputError: a time past all sense; the log cannot be written.
    """
    if not 1 <= days <= LONGEST_DAYS:
        option = "--days"
        raise InputError.of(option, days, f"1 to {LONGEST_DAYS} days")
    token = secrets.token_urlsafe(TOKEN_BYTES)
    until = int((now + timedelta(days=days)).timestamp() * 1000.0)
    one = Link(secrets.token_hex(4), role, until)
    body: dict[str, object] = {"id": one.id, "role": role.value, "until": until, "token": hashed(token)}
    with writing(log, now) as opened:
        opened.add(LINK, body)
    return one, token


def revoke(log: Path, id_: str, now: datetime) -> Link:
    """Take a link back.

    Args:
        log: the log.
        id_: its id.
        now: the present moment.

    Raises:
        InputError: there is none of that id.
    """
    found = {one.id: one for one in links_of(log).values()}
    if id_ not in found:
        option = "--revoke"
        there = ", ".join(one.id for one in found.values() if one.counts(now)) or "there is none"
        raise InputError.of(option, id_, f"the id of a link: {there}")
    with writing(log, now) as opened:
        opened.add(LINK, {"id": id_, "revoked": True})
    return evolve(found[id_], revoked=True)


def links_of(log: Path) -> dict[str, Link]:
    """Give the links of a job, by the hash of their token.

    Args:
        log: the log.
    """
    found: dict[str, Link] = {}
    for row in read_rows(log, ""):
        body = row.body
        if row.kind != LINK:
            continue
        if body.get("revoked"):
            found = {
                key: evolve(one, revoked=one.revoked or one.id == body["id"]) for key, one in found.items()
            }
        elif body.get("role") in tuple(Role):
            found[str(body.get("token"))] = Link(str(body.get("id")), Role(body["role"]), int(body["until"]))
    return found
