"""The message of a watch: what a builder reads on a phone at six in the morning, and its one-line subject."""

from __future__ import annotations

from attrs import frozen

from bracing.results import unknown_said, without_braces
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.storm.watch import Look, News, Seen
from bracing.text.page import Page

MOST_WALLS = 12  # of one kind named in a message; the others are counted
WIDTH = 1000  # a phone wraps for itself
PHONE = Page(width=WIDTH)


@frozen
class Message:
    """A message as it is sent.

    Attributes:
        subject: one line.
        text: the lines.
    """

    subject: str
    text: str


def message_of(
    look: Look, news: News | None, *, page: Page = PHONE, then: str = "", head: str = ""
) -> Message:
    """Write the message of one look.

    Args:
        look: what is seen.
        news: why it is sent.
        page: how quantities are written.
        then: the command that says what to do; nothing where there is none.
        head: head of the log, which shows a log that was cut short.
    """
    lines = [_headline(look, news, page)]
    lines += [page.said(why) for why in _unknown(look)]
    lines += [page.said(_alert(look, k)) for k in range(len(look.alerts))]
    bare = [one.job.wall.name for one in look.walls if without_braces(one.job)]
    lines += [page.said(Said("watch-no-braces", walls=_names(bare)))] if bare else []
    lines += [page.said(_out(look))] if look.out else []
    lines += [page.said(line) for one in _bad(look) for line in [_over(one, look)]]
    unsaid = [(one, said) for one in look.walls if one.job.wall.up for said in unknown_said(one.job)]
    lines += [page.said(Said("of-wall", wall=one.job.wall.name, said=said)) for one, said in unsaid]
    rest = [one for one in look.walls if one not in _bad(look) and not without_braces(one.job)]
    for verdict in (Verdict.UNKNOWN, Verdict.WITHIN, Verdict.NOT_UP):
        of_it = [one for one in rest if one.verdict is verdict]
        lines += [page.said(_several(verdict, of_it))] if of_it else []
    lines += [page.said(Said("watch-not-read", fault=str(fault))) for fault in look.faults]
    lines += (
        [page.said(Said("watch-then", command=then))]
        if then and any(one.verdict is Verdict.OVER for one in look.walls)
        else []
    )
    lines.append(page.said(Said("watch-caution")))
    lines += [page.said(Said("watch-head", head=head))] if head else []
    return Message(subject_of(look, page), "\n".join(lines))


def subject_of(look: Look, page: Page = PHONE) -> str:
    """Write the subject of a message: what is worst, in one line.

    Args:
        look: what is seen.
        page: how quantities are written.
    """
    over = sum(one.verdict in (Verdict.OVER, Verdict.ENGINEER) for one in look.walls)
    bare = sum(without_braces(one.job) for one in look.walls)
    said = Said("watch-subject-verdict", verdict=look.verdict.upper())
    if look.unknown or not look.walls:
        said = Said("watch-subject-unknown")
    elif look.out:
        said = Said("watch-subject-by", when=_when(look, look.out[0]), over=over, count=len(look.walls))
        if look.out[0].out_now:
            said = Said("watch-subject-now", over=over, count=len(look.walls))
    if bare:
        said = Said("watch-subject-bare", bare=bare, then=said)
    unread = Said("watch-subject-unread") if look.faults else ""
    return page.said(Said("watch-subject", job=look.name, what=said, unread=unread))


def quiet_line(look: Look, page: Page = PHONE) -> str:
    """Write the line of a look that is no news.

    Args:
        look: what is seen.
        page: how quantities are written.
    """
    return page.said(Said("watch-nothing-new", subject=subject_of(look, page)))


def _headline(look: Look, news: News | None, page: Page) -> str:
    highest = max((one.gust for one in look.walls if one.gust is not None), default=None)
    gust = "" if highest is None else Said("watch-gusts", gust=Quantity(highest, Kind.ASKED))
    why = {
        News.WORSE: Said("watch-worse"), News.BETTER: Said("watch-better"), News.FIRST: Said("watch-first"),
    }.get(news, "") if news is not None and not look.unknown else ""  # fmt: skip
    return page.said(
        Said("watch-headline", why=why, job=look.name, at=look.clock.text(look.clock.now), gust=gust)
    )


def _unknown(look: Look) -> list[Said]:
    if not look.unknown:
        return []
    return [Said("watch-unknown", why=look.unknown), Said("watch-unknown-then")]


def _alert(look: Look, k: int) -> Said:
    alert = look.alerts[k]
    start = (
        "" if alert.start <= look.clock.now else Said("watch-alert-from", when=look.clock.text(alert.start))
    )
    gust = Quantity(alert.gust, Kind.ASKED)
    return Said("watch-alert", event=alert.event, start=start, end=look.clock.text(alert.end), gust=gust)


def _when(look: Look, one: Seen) -> str:
    return look.clock.text(one.out_by or look.clock.now)


def _out(look: Look) -> Said:
    return (
        Said("watch-out-now") if look.out[0].out_now else Said("watch-out-by", when=_when(look, look.out[0]))
    )


def _bad(look: Look) -> list[Seen]:
    """Walls with a line of their own: over, an engineer's, people out; those without a brace were said before."""
    bad = (Verdict.OVER, Verdict.ENGINEER)
    return [
        one
        for one in look.walls
        if (one.verdict in bad or one.out_by is not None) and not without_braces(one.job)
    ]


def _over(one: Seen, look: Look) -> Said:
    out = "" if one.out_by is None else Said("watch-wall-now") if one.out_now else Said(
        "watch-wall-by", when=_when(look, one)
    )  # fmt: skip
    limit = "" if one.limit is None else Said("watch-limit", gust=Quantity(float(one.limit), Kind.GUST))
    return Said("watch-wall", wall=one.job.wall.name, verdict=one.verdict.upper(), limit=limit, out=out)


def _several(verdict: Verdict, walls: list[Seen]) -> Said:
    names = _names([_with_clear_out(one) for one in walls] if verdict is Verdict.UNKNOWN else [
        one.job.wall.name for one in walls
    ])  # fmt: skip
    return Said("watch-several", verdict=verdict.upper(), walls=names)


def _with_clear_out(one: Seen) -> Said | str:
    """A wall with the gust to look out for, where no forecast does."""
    if one.clear_out is None:
        return one.job.wall.name
    return Said("watch-look-out", wall=one.job.wall.name, gust=Quantity(float(one.clear_out), Kind.GUST))


def _names(names: list[Said | str] | list[str]) -> tuple[Said | str, ...]:
    if len(names) <= MOST_WALLS:
        return tuple(names)
    return (*names[: MOST_WALLS - 1], Said("watch-and-more", count=len(names) - MOST_WALLS + 1))
