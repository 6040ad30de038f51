"""Sending a message: by mail, and to a webhook. What is not taken is said, and stays to be tried again."""

from __future__ import annotations

import hashlib
import hmac
import http.client
import os
import smtplib
import ssl
import urllib.error
import urllib.request
from datetime import datetime
from email.message import EmailMessage
from email.utils import format_datetime
from typing import Any
from urllib.parse import urlsplit

from attrs import evolve

from bracing.errors import InputError
from bracing.job.watched import LOOPBACK, Watched
from bracing.site.kept import Outgoing

TIMEOUT_S = 30.0
HOOK = "webhook"  # among those a message waits for
IMPLICIT_TLS = 465
USER, PASSWORD, SECRET = "BRACING_SMTP_USER", "BRACING_SMTP_PASSWORD", "BRACING_WEBHOOK_SECRET"
SIGNATURE = "X-Bracing-Signature"


def receivers(watched: Watched) -> tuple[str, ...]:
    """Give who gets each message.

    Args:
        watched: who is told.
    """
    return (*watched.mail, *((HOOK,) if watched.webhook else ()))


def send(out: Outgoing, watched: Watched) -> tuple[Outgoing, tuple[str, ...]]:
    """Send a message to all that wait for it.

    Args:
        out: the message.
        watched: where to.

    Returns:
        The message with who has it now, and why others have not.
    """
    told = receivers(watched)
    waiting = [who for who in out.waiting if who in told]  # who is written to no more waits no more
    taken: list[str] = []
    why: list[str] = []
    mails = [who for who in waiting if who != HOOK]
    if mails and watched.smtp is not None:
        refused = _mailed(out, mails, watched.smtp, sender=watched.mail[0])
        taken += [who for who in mails if who not in refused]
        why += [f"{who}: {reason}" for who, reason in refused.items()]
    if HOOK in waiting and watched.webhook is not None:
        reason = _hooked(out, watched.webhook)
        why += [f"{watched.webhook}: {reason}"] if reason else []
        taken += [] if reason else [HOOK]
    left = tuple(who for who in waiting if who not in taken)
    return evolve(out, waiting=left, sent=(*out.sent, *taken)), tuple(why)


def _mailed(out: Outgoing, to: list[str], server: str, *, sender: str) -> dict[str, str]:
    """Mail a message; who was refused, each with why."""
    mail = EmailMessage()
    mail["Subject"], mail["From"], mail["To"] = out.subject, sender, ", ".join(to)
    mail["Date"], mail["Message-ID"] = format_datetime(datetime.fromisoformat(out.at)), out.id
    mail["Auto-Submitted"] = "auto-generated"
    mail.set_content(out.text + "\n")
    host, _, port = server.rpartition(":")
    try:
        with _server(host, int(port)) as smtp:
            refused = smtp.send_message(mail, from_addr=sender, to_addrs=to)
        return {who: _reply(*answer) for who, answer in refused.items()}
    except smtplib.SMTPRecipientsRefused as error:
        return {who: _reply(*answer) for who, answer in error.recipients.items()}
    except smtplib.SMTPResponseException as error:
        why = _reply(error.smtp_code, error.smtp_error)
    except (smtplib.SMTPException, OSError) as error:
        why = str(error) or type(error).__name__
    return dict.fromkeys(to, " ".join(why.split())[:120])


def _reply(code: int, words: bytes | str) -> str:
    text = words.decode("utf-8", "replace") if isinstance(words, bytes) else words
    return " ".join(f"{code} {text}".split())[:120]


def _server(host: str, port: int) -> smtplib.SMTP:
    """Open a mail server, by TLS where it has it; a password goes over nothing else."""
    user, password = os.environ.get(USER), os.environ.get(PASSWORD)
    context = ssl.create_default_context()
    if port == IMPLICIT_TLS:
        smtp: smtplib.SMTP = smtplib.SMTP_SSL(host, port, timeout=TIMEOUT_S, context=context)
    else:
        smtp = smtplib.SMTP(host, port, timeout=TIMEOUT_S)
    try:
        smtp.ehlo()
        hidden = port == IMPLICIT_TLS
        if not hidden and smtp.has_extn("starttls"):
            smtp.starttls(context=context)
            smtp.ehlo()
            hidden = True
        if user and password:
            if not hidden and host not in LOOPBACK:
                said = "the server takes no TLS, and a password goes over nothing else"
                raise smtplib.SMTPException(said)
            smtp.login(user, password)
    except BaseException:
        smtp.close()
        raise
    return smtp


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    """Follows no redirect: a message goes where it was told to."""

    def redirect_request(self, *_: Any, **__: Any) -> None:  # noqa: ANN401  (the library's own types)
        """Give no request."""
        return


def _hooked(out: Outgoing, url: str) -> str:
    """Post a message to a webhook; why it was not taken, or nothing."""
    body = out.body.encode()
    headers = {"Content-Type": "application/json", "User-Agent": "bracing", "Idempotency-Key": out.id}
    secret = os.environ.get(SECRET)
    if secret:
        headers[SIGNATURE] = "sha256=" + hmac.new(secret.encode(), body, hashlib.sha256).hexdigest()
    asked = urllib.request.Request(url, data=body, headers=headers, method="POST")
    opener = urllib.request.build_opener(_NoRedirect)
    if urlsplit(url).hostname in LOOPBACK:
        opener = urllib.request.build_opener(_NoRedirect, urllib.request.ProxyHandler({}))
    try:
        with opener.open(asked, timeout=TIMEOUT_S):
            return ""
    except urllib.error.HTTPError as error:
        why = f"status {error.code}"
        error.close()
    except (urllib.error.URLError, http.client.HTTPException, OSError) as error:
        why = str(getattr(error, "reason", None) or error or type(error).__name__)
    return " ".join(why.split())[:120]


def refuse_unsendable(watched: Watched) -> None:
    """Refuse a name without its password, before anything is asked of anybody.

    Args:
        watched: who is told.

    Raises:
        InputError: one of the two is missing.
    """
    user, password = os.environ.get(USER), os.environ.get(PASSWORD)
    if watched.smtp is not None and bool(user) != bool(password):
        missing = PASSWORD if user else USER
        raise InputError.of(missing, None, f"both {USER} and {PASSWORD}, or neither", file="environment")
