"""What `bracing box` answers: each wall with its corners, what they carry, and the order braces may leave in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from attrs import frozen

from bracing.box.answer import Box, corner_force, stand
from bracing.box.below import BelowJson, said_of_below
from bracing.box.deck import why_not
from bracing.box.leaving import Leaving, LeftJson, keeps_at_least, leaving, unknown_to, why_stays
from bracing.box.order import StandJson, Stands, to_stand
from bracing.chain.links import HIGHEST, Link, LinkJson
from bracing.check import reached_at
from bracing.choosing import Budget, whole_down
from bracing.codes.gusts import people_may_stay
from bracing.job.envelope import beyond
from bracing.job.house import House, Laid, Placed, deck_name
from bracing.job.job import Job
from bracing.results import CAUTIONS, HeaderJson, header_of_hash, unknown_said
from bracing.said import Said, Term, Verdict
from bracing.stages.take_down import Kept
from bracing.units import Mph

WallJson = TypedDict("WallJson", {
    "file": str, "wall": str, "state": str, "braces": list[str], "limit_gust_mph": int | None,
    "limit_gust_with_people_mph": int | None, "clear_out_gust_mph": int | None, "gives_first": LinkJson | None,
})  # fmt: skip
HeldJson = TypedDict("HeldJson", {
    "wall": str, "by": str, "middle_lb": float, "top_lb": float,
})  # fmt: skip
CornerJson = TypedDict("CornerJson", {
    "corner": str, "walls": list[str], "counts": bool, "missing": list[str], "at_gust_mph": float,
    "takes": list[HeldJson],
})  # fmt: skip
DeckJson = TypedDict("DeckJson", {
    "deck": str, "walls": list[str], "counts": bool, "missing": list[str], "why_not": list[Said],
})  # fmt: skip
StaysJson = TypedDict("StaysJson", {
    "file": str, "mark": str, "why": Said,
})  # fmt: skip
AskedOutJson = TypedDict("AskedOutJson", {
    "file": str, "mark": str, "allowed": bool, "clear_out_gust_without_mph": int, "of": Said | str, "why": Said | None,
})  # fmt: skip
_BoxKeys = TypedDict("_BoxKeys", {
    "job": str, "gust_mph": float | None, "thunderstorm": bool, "keep_mph": float | None, "keep_until": str | None,
    "verdict": Verdict | None, "clear_out_gust_mph": int | None, "first_out": str | None, "people_out": bool | None,
    "walls": list[WallJson], "corners": list[CornerJson], "leave": list[LeftJson], "stay": list[StaysJson],
    "stand": list[StandJson], "asked": AskedOutJson | None, "not_counted": list[Said], "below": list[BelowJson],
    "decks": list[DeckJson],
    "engineer": list[Said],
    "assumed": list[str], "cautions": list[Said],
})  # fmt: skip


class BoxJson(HeaderJson, _BoxKeys):
    """What `BoxReport` gives."""


@frozen
class AskedOut:
    """One brace somebody asks about.

    Attributes:
        file: its wall's file.
        mark: the brace.
        clear_out: the least clear-out gust of all walls without it [mph].
        of: the wall whose it is.
        why: why it stays; None where it may leave.
    """

    file: str
    mark: str
    clear_out: int
    of: Said | str
    why: Said | None

    def to_dict(self) -> AskedOutJson:
        """Give it as JSON."""
        return {
            "file": self.file, "mark": self.mark, "allowed": self.why is None,
            "clear_out_gust_without_mph": self.clear_out, "of": self.of, "why": self.why,
        }  # fmt: skip


@frozen(eq=False)
class BoxReport:
    """A job of walls, joined.

    Attributes:
        house: the job, with what is ticked.
        jobs: its walls, by file.
        box: those that are up; None where one lies beyond what is covered.
        kept: the highest gust up to the next event; None where nobody said.
        leaving: which braces may leave.
        asked: what was asked of one brace.
        beyond: why the answer is "engineer".
    """

    house: House
    jobs: Mapping[str, Job]
    box: Box | None
    kept: Kept | None
    leaving: Leaving
    asked: AskedOut | None = None
    beyond: tuple[Said, ...] = ()

    @property
    def clear_out(self) -> int | None:
        """The gust before which everybody is out of all walls, rounded down [mph]."""
        return None if self.box is None else self.box.clear_out

    @property
    def verdict(self) -> Verdict | None:
        """Within, over or unknown at the gust asked, of the wall that gives first; None where none was."""
        if self.box is None:
            return Verdict.ENGINEER
        if self.kept is None:
            return None
        if not self.box.walls:
            return Verdict.NOT_UP
        known = [a for a in self.box.answers if not any(one.untied for one in a.wall.job.wall.above)]
        least = min((whole_down(a.limits.limit) for a in known), default=HIGHEST)
        least = min([least, *(whole_down(line.limit) for line in self.box.below)])
        return Verdict.at(self.kept.gust, least, unknown=bool(self.unknown))

    @property
    def unknown(self) -> tuple[Said, ...]:
        """What nobody said of a wall that is up, without which the job is not within."""
        walls = () if self.box is None else self.box.walls
        return tuple(
            Said("of-wall", wall=wall.job.wall.name, said=said)
            for wall in walls
            for said in unknown_said(wall.job)
        )

    @property
    def stand(self) -> tuple[Stands, ...]:
        """The walls that are not up, in the order to stand them."""
        return to_stand(self.house, self.jobs)

    def first(self, file: str) -> Link | None:
        """Give what gives first of a wall; None where it is not up, or can still move.

        Args:
            file: its file.
        """
        walls = () if self.box is None else self.box.walls
        return next((self.box.first(wall) for wall in walls if self.box and wall.file == file), None)

    @property
    def weakest(self) -> Said | str:
        """The wall whose limit gust is the least."""
        if self.box is None or not self.box.answers:
            return ""
        wall = min(self.box.answers, key=lambda a: a.limits.limit)
        line = min(self.box.below, key=lambda one: one.limit, default=None)
        if line is not None and line.limit < wall.limit:
            return Said("storey-below-of", wall=self.jobs[line.under].wall.name)
        return wall.wall.job.wall.name

    @property
    def not_counted(self) -> tuple[Said, ...]:
        """What counts for nothing, or is not checked."""
        walls, lines = ((), ()) if self.box is None else (self.box.walls, self.box.below)
        nothing = Said("decks-and-joists-count-for-nothing")
        if self.house.decks:  # of each a line of its own says whether it counts
            nothing = Said("roofs-and-joists-count-for-nothing")
        return (nothing, *said_of_below(self.house, walls, lines))

    @property
    def people_out(self) -> bool | None:
        """Whether people must be out at the gust asked; None where none was."""
        if self.kept is None or self.box is None or not self.box.walls:
            return None
        return not people_may_stay(self.box.clear_out, self.kept.gust)

    @property
    def at(self) -> Mph:
        """The gust corner forces are given at: the one asked, or else the clear-out gust [mph]."""
        return float(self.clear_out or 0) if self.kept is None else self.kept.gust

    @property
    def assumed(self) -> tuple[str, ...]:
        """Fields of the corners that nobody declared, which take their low default."""
        return tuple(
            path
            for k in range(len(self.house.corners))
            for path in (f"corner[{k}].{key}" for key in ("fastener", "count", "joint"))
            if path not in self.house.declared
        )

    def corners(self) -> list[CornerJson]:
        """Give what each corner carries, as JSON."""
        found: list[CornerJson] = []
        for k, corner in enumerate(self.house.corners):
            holds: list[HeldJson] = []
            for mine, other in (corner.ends, corner.ends[::-1]):
                walls = () if self.box is None else self.box.walls
                if any(w.file == mine.file and any(n.corner == k for n in w.nodes) for w in walls):
                    assert self.box is not None
                    middle, top = corner_force(self.box, k, mine.file, gust=self.at)
                    holds.append({"wall": mine.file, "by": other.file, "middle_lb": middle, "top_lb": top})
            found.append({
                "corner": corner.name, "walls": list(corner.walls), "counts": bool(holds),
                "missing": [str(tick) for tick in corner.missing], "at_gust_mph": self.at, "takes": holds,
            })  # fmt: skip
        return found

    def decks(self) -> list[DeckJson]:
        """Give each deck, whether it counts, and why it does not, as JSON."""
        counts = {deck.k for wall in (() if self.box is None else self.box.walls) for deck in wall.decks}
        found: list[DeckJson] = []
        for k, deck in enumerate(self.house.decks):
            why = () if k in counts or self.box is None else why_not(self.house, k, self.box.met)
            found.append({
                "deck": deck_name(k), "walls": list(deck.walls), "counts": k in counts,
                "missing": [str(tick) for tick in deck.missing], "why_not": list(why),
            })  # fmt: skip
        return found

    @property
    def said_of_decks(self) -> tuple[Said, ...]:
        """Say of each deck whose tops it holds, or why it counts for nothing."""
        return tuple(
            Said(
                "deck-counts",
                deck=one["deck"],
                walls=tuple(file.removesuffix(".toml") for file in one["walls"]),
            )
            if one["counts"]
            else Said("deck-counts-for-nothing", deck=one["deck"], why=tuple(one["why_not"]))
            for one in self.decks()
        )

    def walls(self) -> list[WallJson]:
        """Give each wall, as JSON."""
        found: list[WallJson] = []
        answers = {} if self.box is None else {a.wall.file: a for a in self.box.answers}
        for file, job in self.jobs.items():
            one, marks = answers.get(file), [brace.mark for brace in job.braces]
            gives = self.first(file)
            first: LinkJson | None = None
            if gives is not None:
                first = {**gives.to_dict(), "limit_gust_mph": reached_at(gives, ())}
            found.append({
                "file": file, "wall": job.wall.name, "state": job.state, "braces": marks,
                "limit_gust_mph": None if one is None else whole_down(one.limits.limit),
                "limit_gust_with_people_mph": None if one is None else whole_down(one.limits.with_people),
                "clear_out_gust_mph": None if one is None else one.clear_out, "gives_first": first,
            })  # fmt: skip
        return found

    def to_dict(self) -> BoxJson:
        """Give it as JSON."""
        kept, box = self.kept, self.box
        return {
            **header_of_hash(self.house.sha256, "box"), "job": self.house.job.name,
            "gust_mph": None if kept is None else kept.gust, "thunderstorm": kept is not None and kept.thunderstorm,
            "keep_mph": self.leaving.keep, "keep_until": None if kept is None else kept.until,
            "verdict": self.verdict, "clear_out_gust_mph": self.clear_out,
            "first_out": None if box is None or not box.walls else box.lowest.wall.file, "people_out": self.people_out,
            "walls": self.walls(), "corners": self.corners(), "leave": [one.to_dict() for one in self.leaving.left],
            "stay": [{"file": file, "mark": mark, "why": why} for file, mark, why in self.leaving.stay],
            "stand": [one.to_dict() for one in self.stand],
            "asked": None if self.asked is None else self.asked.to_dict(), "not_counted": list(self.not_counted),
            "below": [] if box is None else [line.to_dict(self.at) for line in box.below],
            "decks": self.decks(),
            "engineer": list(self.beyond), "assumed": list(self.assumed), "cautions": list(CAUTIONS),
        }  # fmt: skip


def report(
    house: House,
    jobs: Mapping[str, Job],
    placed: Mapping[str, Placed],
    *,
    kept: Kept | None,
    asked: tuple[str, str] | None = None,
    budget: float = 60.0,
) -> BoxReport:
    """Join the walls of a job, and find which braces may leave.

    Args:
        house: the job, with what is ticked.
        jobs: its walls, by file.
        placed: where each stands in plan.
        kept: the highest gust up to the next event; None where nobody said, and none leaves.
        asked: wall's file and mark of one brace that is asked for alone.
        budget: time to look for more than one [s].
    """
    unknown = unknown_to(kept)
    none = Leaving(keeps_at_least(kept), (), (), unknown=unknown)
    outside = tuple(
        Said("of-wall", wall=job.wall.name, said=said)
        for job in jobs.values()
        if job.wall.up
        for said in beyond(job, None if kept is None else kept.gust)
    )
    outside += tuple(
        Said("roof-is-on", deck=deck_name(k))
        for k, deck in enumerate(house.decks)
        if deck.kind == "roof" and Laid.LAID in deck.done
    )
    if outside:
        return BoxReport(house, jobs, None, kept, none, beyond=outside)
    box = stand(house, jobs, placed, thunderstorm=kept is not None and kept.thunderstorm)
    keep = keeps_at_least(kept)
    if asked is None:
        return BoxReport(house, jobs, box, kept, leaving(box, keep, clock=Budget(budget), unknown=unknown))
    file, mark = asked
    up = jobs[file].wall.up
    why: Said | None = Said("wall-not-up", state=Term(jobs[file].wall.state))
    if up:
        why = why_stays(box, file, mark, keep=keep, unknown=unknown)
    after = box.without(file, mark) if up else box
    of = after.first_out
    return BoxReport(house, jobs, box, kept, none, AskedOut(file, mark, after.clear_out, of, why))
