"""What `job.toml` in a folder of walls says of the job itself, and of who is told when its weather changes."""

from __future__ import annotations

import re

from attrs import frozen

from bracing.errors import refused
from bracing.job.fields import declared
from bracing.job.titles import TitleBlock
from bracing.said import LANGUAGES

MAIL = re.compile(r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9-]{1,63}(?:\.[A-Za-z0-9-]{1,63})*")
HOST = re.compile(r"[A-Za-z0-9.-]{1,253}:[0-9]{1,5}")
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
MOST_MAILS = 20


@frozen
class Named(TitleBlock):
    """The job of a folder of walls, and what the title blocks of its drawings say.

    Attributes:
        time_zone: zone of its clocks; None is the computer's own.
        language: of what commands print of its walls.
    """

    time_zone: str | None = declared(
        "name", "zone of its clocks, such as America/Chicago; undeclared is the computer's own", default=None
    )
    language: str = declared("word", " or ".join(LANGUAGES), default="en", one_of=LANGUAGES)


@frozen
class Watched:
    """Where a job's weather is asked for, and who is told of it.

    Attributes:
        grid: grid square of the forecast, as office/x,y; None where none is fetched.
        point: place the alerts are for, as latitude,longitude; None where none are fetched.
        mail: who is written to.
        smtp: mail server and port; None where nothing is mailed.
        webhook: address that takes each message; None where there is none.
    """

    grid: str | None = declared("name", 'grid square, such as "LOT/31,80"', default=None)
    point: str | None = declared("name", 'latitude and longitude, such as "39.75,-97.09"', default=None)
    mail: tuple[str, ...] = declared("names", "who is written to", default=())
    smtp: str | None = declared(
        "name", 'mail server and port, such as "mail.example.invalid:587"', default=None
    )
    webhook: str | None = declared("name", "https address that takes each message", default=None)

    def __attrs_post_init__(self) -> None:
        asked: tuple[tuple[str, str | None, str, str], ...] = (
            ("grid", self.grid, r"[A-Z]{3}/[0-9]{1,3},[0-9]{1,3}", 'office and square, such as "LOT/31,80"'),
            ("point", self.point, r"-?[0-9]{1,2}(\.[0-9]{1,8})?,-?[0-9]{1,3}(\.[0-9]{1,8})?",
             'latitude and longitude, such as "39.75,-97.09"'),
            ("smtp", self.smtp, HOST.pattern, 'server and port, such as "mail.example.invalid:587"'),
            ("webhook", self.webhook, r"https://[^\s@]{1,500}|http://(127\.0\.0\.1|localhost|\[::1\])(:[0-9]{1,5})?/[^\s@]*",
             "an https address, without a name or password in it"),
        )  # fmt: skip
        for name, value, pattern, expected in asked:
            if value is not None and not re.fullmatch(pattern, value, re.ASCII):
                where = f"Watched.{name}"
                raise refused(where, value, expected)
        for address in self.mail:
            if not MAIL.fullmatch(address) or len(self.mail) > MOST_MAILS:
                where = "Watched.mail"
                raise refused(
                    where, address, f'at most {MOST_MAILS} addresses, such as "office@example.invalid"'
                )
        if self.mail and self.smtp is None:
            where = "Watched.smtp"
            raise refused(where, None, "the mail server and its port, beside who is written to")
