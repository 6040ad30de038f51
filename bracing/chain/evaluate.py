"""A job's chain evaluated: every link at a gust, the limit gust, and the limit with each brace missing."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cached_property, partial

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS, Forces, Rising, lost_at_once, mirrored, solve_forces
from bracing.chain.groups import all_groups, limits_along
from bracing.chain.least import least_limit, least_limits
from bracing.chain.links import HIGHEST, Group, Link, LinkId
from bracing.chain.model import Model
from bracing.choosing import TIED, over, slack, sorted_by
from bracing.codes.gusts import clear_out_of
from bracing.panel.grillage import Compliance, Responses
from bracing.units import Mph

ANY_GUST: Mph = 40.0  # where every brace works both ways the chain of one gust is that of any
AT_REST: Mph = 0.01  # a wall without lean or people has no load at 0 to find working braces by
NEXT_SET: Mph = 0.001  # past the gust at which one set of working braces gives way to another
IN_A_FRAME = 8  # walls asked together: of one to eight the most pays; more would only take more memory
# Of the gust, times the logarithm of what the worst ratio may grow by: in so short a stretch it does not go to 1 and
# back, or it would grow a hundred times as fast as the gust. And never more of the gust than the second.
PASSED_OVER, AT_MOST = 0.02, 0.1
UNLOADED = 1e-9  # a worst ratio so small is none
# Half of the gust where the worst ratio is no more than this before and after: between two gusts the energy of braces
# and wall is no more than at the worse of them, so nothing goes to 1 and back that is a fifth of it at both.
FAR, LIGHTLY = 0.5, 0.2


@frozen(eq=False)
class Evaluation:
    """The chain of one set of braces at one gust.

    Attributes:
        gust: the gust it was evaluated at [mph].
        forces: push and pull.
        groups: the links, a kind at a time.
        held: both directions hold every motion of the wall.
    """

    gust: Mph
    forces: tuple[Forces, Forces]
    groups: tuple[Group, ...] = field(repr=False)
    held: bool

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """Every link, lowest limit gust first; of a wall that can move, those worth nothing before all."""
        links = _by_limit(link for group in self.groups for link in group.links(self.gust))
        # What is worth nothing is why a wall can move: it is named before all that would only be loaded too far.
        links.sort(key=lambda link: not (link.direction in self.loose and link.nothing))
        return tuple(links)

    @property
    def loose(self) -> tuple[str, ...]:
        """Directions in which the wall can still move."""
        return tuple(name for name, f in zip(DIRECTIONS, self.forces, strict=True) if not f.held.all())

    @cached_property
    def first(self) -> Link | None:
        """The first of `links`, without making them all where nothing can move."""
        if not self.held:
            return self.links[0] if self.links else None
        least = least_limit(self.groups)
        lowest = (group for group in self.groups if group.reaches(least + slack(least, TIED)))
        links = _by_limit(link for group in lowest for link in group.links(self.gust))
        return links[0] if links else None

    @property
    def over(self) -> tuple[Link, ...]:
        """The links over at the gust, worst first, without their limit gusts."""
        found = [
            link
            for group in self.groups
            if over(group.ratios(self.gust).max(initial=0.0), 1.0)
            for link in group.links(self.gust, limits_too=False)
            if over(link.ratio, 1.0)
        ]
        return tuple(sorted_by(found, lambda link: -link.ratio))

    @property
    def worst(self) -> float:
        """The greatest ratio; infinite where the wall can still move."""
        if not self.held:
            return np.inf
        return max((float(group.ratios(self.gust).max(initial=0.0)) for group in self.groups), default=0.0)


Chain = tuple[tuple[Forces, Forces], tuple[Group, ...]]
Solve = Callable[..., Forces]


def groups_at(model: Model, gust: Mph, *, solve: Solve = solve_forces) -> Chain:
    """Solve both directions at a gust and give the chain.

    Args:
        model: the model.
        gust: at which working braces are found [mph].
        solve: gives the forces.
    """
    push = solve(model, "push", gust=gust)
    if all_two_way(model):
        pull = mirrored(push)
        return (push, pull), all_groups(push, pull)
    pull = solve(model, "pull", gust=gust)
    return (push, pull), tuple(evolve(group, since=gust**2) for group in all_groups(push, pull))


def evaluate(model: Model, gust: Mph, chain: Chain | None = None) -> Evaluation:
    """Give every link at a gust.

    Args:
        model: the model.
        gust: the gust [mph].
        chain: the chain already worked out at another gust, where every brace works both ways at any gust.
    """
    forces, groups = chain if chain is not None and all_two_way(model) else groups_at(model, gust)
    return Evaluation(gust, forces, groups, all(f.held.all() for f in forces))


def _by_limit(links: Iterable[Link]) -> list[Link]:
    """Lowest limit gust first; of the same the one that is over most; of those, the order of the chain."""
    return sorted_by(links, lambda link: link.limit_gust, lambda link: -link.ratio)


@frozen
class Limits:
    """The two gusts a wall is known by, unrounded: every answer reads them here.

    Attributes:
        limit: limit gust: nobody stands by the wall then [mph].
        with_people: limit gust with people on it and beside it [mph].
    """

    limit: Mph
    with_people: Mph

    @property
    def clear_out(self) -> int:
        """Clear-out gust, rounded down [mph]."""
        return clear_out_of(self.limit, self.with_people)

    @property
    def people_govern(self) -> bool:
        """Whether people must be out earlier for what they themselves put on the wall."""
        return self.clear_out < clear_out_of(self.limit, math.inf)

    def no_less_than(self, other: Limits) -> Limits:
        """Give the greater of both gusts: the wall is held one way or the other.

        Args:
            other: held the other way.
        """
        return Limits(max(self.limit, other.limit), max(self.with_people, other.with_people))

    def no_more_than(self, other: Limits) -> Limits:
        """Give the lesser of both gusts: what stands one way now may stand the other the next minute.

        Args:
            other: standing the other way.
        """
        return Limits(min(self.limit, other.limit), min(self.with_people, other.with_people))


@frozen
class Limited:
    """What two limits are told of: its limit gust, and its clear-out gust.

    Attributes:
        limits: without people and with them.
    """

    limits: Limits

    @property
    def limit(self) -> Mph:
        """Limit gust, unrounded [mph]."""
        return self.limits.limit

    @property
    def clear_out(self) -> int:
        """Clear-out gust [mph]."""
        return self.limits.clear_out


NONE = Limits(0.0, 0.0)


def limits(model: Model) -> Limits:
    """Give the limit gust without people and with them, unrounded.

    Args:
        model: the model.
    """
    return limits_from(model, limit_gust(model))


def limits_from(model: Model, limit: Mph) -> Limits:
    """Give both, the limit gust without people being known.

    Args:
        model: the model.
        limit: its limit gust without people [mph].
    """
    crowd = limit if model.job.site.top_load == 0.0 or limit <= 0.0 else limit_gust(model.crowded)
    return Limits(limit, min(limit, crowd))


def limit_gust(model: Model) -> Mph:
    """Give the gust at which the weakest counted link reaches its allowable value, unrounded [mph].

    Args:
        model: the model.
    """
    return limit_and_chain(model)[0]


def lost_at(model: Model, index: int, gust: Mph, *, solve: Solve = solve_forces) -> Chain:
    """Give the chain at the worst of the swing where one brace goes at a gust.

    Args:
        model: the model, with that brace.
        index: which.
        gust: at which it goes, and working braces are found [mph].
        solve: gives the forces.
    """
    after, two_way = without(model, index), all_two_way(model)
    swung = [
        lost_at_once(solve(model, way, gust=gust, passed_by=index), solve(after, way, gust=gust))
        for way in (DIRECTIONS[:1] if two_way else DIRECTIONS)
    ]
    push, pull = (swung[0], mirrored(swung[0])) if two_way else swung
    groups, since = all_groups(push, pull), 0.0 if two_way else gust**2
    return (push, pull), tuple(evolve(group, since=since) for group in groups)


def limit_and_chain(model: Model) -> tuple[Mph, Chain]:
    """Give the gust at which the weakest counted link reaches its allowable value, unrounded [mph].

    Where every brace works both ways each link's gust is closed form. Where one does not, the gust is followed up from
    rest through every set of working braces, and the limit is the first at which a link reaches its allowable value.
    What is on the wall from above may be taken away: the lesser of with it and without it counts.

    Args:
        model: the model.

    Returns:
        The gust [mph], and the chain it was read off.
    """
    return _limit(model, groups_at)


def limit_but_for(model: Model, link: LinkId) -> Mph:
    """Give the limit gust of all links but one, unrounded: what is known where that one is not [mph].

    Args:
        model: the model.
        link: the one left out.
    """

    def chain_of(one: Model, gust: Mph, *, solve: Solve) -> Chain:
        forces, groups = groups_at(one, gust, solve=solve)
        return forces, tuple(group for group in groups if group.link is not link)

    return _limit(model, chain_of)[0]


def _limit(model: Model, chain_of: Callable[..., Chain]) -> tuple[Mph, Chain]:
    """The limit gust of a chain and the chain it was read off, the lesser of with what is on the wall and without."""
    if all_two_way(model):
        chain = chain_of(model, ANY_GUST, solve=solve_forces)
        forces, groups = chain
        found = (least_limit(groups) if all(f.held.all() for f in forces) else 0.0), chain
    else:
        found = followed(partial(chain_of, model, solve=Rising()))
    if model.unloaded is None:
        return found
    bare = _limit(model.unloaded, chain_of)
    return bare if over(found[0], bare[0]) else found


def all_two_way(model: Model) -> bool:
    """Whether every brace counts in both directions, so that forces are affine in the gust squared.

    Args:
        model: the model.
    """
    return all(s.counts_in_push == s.counts_in_pull for s in model.strengths)


def followed(chain_at: Callable[[Mph], Chain]) -> tuple[Mph, Chain]:
    """Follow the gust up from rest through the sets of working braces to the first link at its allowable value.

    As long as the same braces work every demand is a straight line in the gust squared, so within each stretch the
    limit is closed form; a set is left where one of its braces would be driven the wrong way, or one left out worked.
    Sets that follow one another closely are passed over together while the worst ratio is well under 1, and most of
    them while it is little.

    Args:
        chain_at: gives the chain at a gust.

    Returns:
        The gust [mph], and the chain it was read off.

    Source: STATICS, a demand is a straight line in the gust squared.
    """
    within, at, allowed, steps = 0.0, AT_REST, 1.0, list[tuple[Mph, float]]()
    while True:
        chain = chain_at(at)
        forces, groups = chain
        worst = Evaluation(at, forces, groups, all(f.held.all() for f in forces)).worst
        if not over(worst, allowed):
            found, until = least_limit(groups), min(f.until for f in forces)
            if found <= until or at >= HIGHEST:
                return min(found, HIGHEST), chain
            within, steps = until, list(_steps(worst, until))
        elif not steps:
            return within, chain
        (step, allowed), *steps = steps  # where that was too far, the next shorter one
        at = within + step


def _steps(worst: float, until: Mph) -> Iterator[tuple[Mph, float]]:
    """How far to go past the gust until which the same braces work, and up to what ratio there; the longest first."""
    if worst <= LIGHTLY:
        yield FAR * until, LIGHTLY
    part = min(AT_MOST, -PASSED_OVER * math.log(max(worst, UNLOADED)))
    if part * until > NEXT_SET:
        yield part * until, 1.0
    yield NEXT_SET, 1.0


def worst_ratio(model: Model, gust: Mph) -> float:
    """Give the greatest ratio of the chain at a gust; infinite where the wall can still move.

    Args:
        model: the model.
        gust: the gust [mph].
    """
    return evaluate(model, gust).worst


def without(model: Model, index: int) -> Model:
    """Give the model with one brace gone; the compliance is the same, its row drops out.

    Args:
        model: the model.
        index: which brace.
    """
    keep = [k for k in range(len(model.strengths)) if k != index]
    return keeping(model, keep)


def keeping(model: Model, keep: list[int]) -> Model:
    """Give the model with only some of its braces.

    Args:
        model: the model.
        keep: which, in order.
    """
    # Past those of the braces stand the heads at which a corner holds the wall.
    heads = [*keep, *range(len(model.strengths), len(model.meshes[0].heads))]

    def cut(responses: Responses) -> Responses:
        return Responses(**{a.name: getattr(responses, a.name)[heads] for a in Responses.__attrs_attrs__})

    def narrowed(c: Compliance) -> Compliance:
        return evolve(
            c, flexibility=c.flexibility[np.ix_(heads, heads)], motions=c.motions[heads],
            under_load=c.under_load[:, heads], from_heads=cut(c.from_heads),
            deflection=(c.deflection[0], c.deflection[1][heads], c.deflection[2]),
        )  # fmt: skip

    return evolve(
        model,
        job=evolve(model.job, braces=tuple(model.job.braces[k] for k in keep)),
        studs=tuple(model.studs[k] for k in keep),
        strengths=tuple(model.strengths[k] for k in keep),
        meshes=tuple(mesh.keeping(heads) for mesh in model.meshes),
        compliances=tuple(map(narrowed, model.compliances)),
        crowded_compliances=tuple(map(narrowed, model.crowded_compliances)),
        gone=(*model.gone, *(mark for k, mark in enumerate(model.marks) if k not in keep)),
        unloaded=None if model.unloaded is None else keeping(model.unloaded, keep),
    )


def one_missing(model: Model) -> tuple[Mph, ...]:
    """Give the limit gust with each brace in turn gone, the wall at rest on the others, unrounded [mph].

    Args:
        model: the model.
    """
    if asked_together(model):
        return _least_at_rest(model, ~np.eye(len(model.strengths), dtype=bool))
    return tuple(limit_gust(without(model, k)) for k in range(len(model.strengths)))


def limits_of_each(model: Model, sets: NDArray[np.bool_]) -> tuple[Limits, ...]:
    """Give both gusts of a wall with some of its braces, several times, unrounded.

    Args:
        model: the model with them all.
        sets: which of its braces are there each time, (walls, n).
    """
    if not asked_together(model):
        return tuple(limits(keeping(model, np.flatnonzero(there).tolist())) for there in sets)
    alone = crowd = _least_at_rest(model, sets)
    if model.job.site.top_load != 0.0:
        crowd = _least_at_rest(model.crowded, sets)
    return tuple(
        Limits(one, min(one, two) if one > 0.0 else one) for one, two in zip(alone, crowd, strict=True)
    )


def _least_at_rest(model: Model, sets: NDArray[np.bool_]) -> tuple[Mph, ...]:
    """Limit gust of a wall with some of its braces, several times, at rest on them [mph]."""
    parts = (sets[k : k + IN_A_FRAME] for k in range(0, len(sets), IN_A_FRAME))
    each = (solve_forces(model, DIRECTIONS[0], gust=ANY_GUST, there=some) for some in parts)
    return tuple(least for push in each for least in _least_of_each(push))


def asked_together(model: Model) -> bool:
    """Whether walls with some of its braces gone can be asked in one frame.

    Args:
        model: the model; every brace works both ways, no return holds it and nothing is on it from above.
    """
    return len(model.strengths) > 1 and all_two_way(model) and not model.held and model.unloaded is None


def _least_of_each(push: Forces) -> tuple[Mph, ...]:
    """Limit gust of each of several walls of one frame [mph]."""
    across = least_limits(all_groups(push, mirrored(push)), push.walls)
    least = np.minimum(across, limits_along(push.model, push.sets))
    held = push.held.reshape(push.walls, -1).all(axis=1)
    return tuple(np.where(held, least, 0.0).tolist())


def one_lost(model: Model, at_rest: tuple[Mph, ...]) -> tuple[Mph, ...]:
    """Give the gust up to which each brace in turn may be lost while it blows, unrounded [mph].

    It is never above that at rest. What a loss at once brings is doubled in every force of the wall.

    Args:
        model: the model.
        at_rest: limit gust with each gone, from `one_missing` [mph].

    Source: UFC4-023-03 dynamic factor 2 of a member lost at once (from memory).
    """
    if asked_together(model):
        swung, solve = list[Mph](), partial(solve_forces, model, DIRECTIONS[0], gust=ANY_GUST)
        for k in range(0, len(at_rest), IN_A_FRAME):
            rest = ~np.eye(len(at_rest), dtype=bool)[k : k + IN_A_FRAME]
            before = solve(there=np.ones_like(rest), followed=rest)
            swung += _least_of_each(lost_at_once(before, solve(there=rest)))
        return tuple(min(*both) if both[0] > 0.0 else 0.0 for both in zip(at_rest, swung, strict=True))

    def limit_lost(index: int) -> Mph:
        return _limit(model, lambda one, gust, *, solve: lost_at(one, index, gust, solve=solve))[0]

    return tuple(min(found, limit_lost(k)) if found > 0.0 else 0.0 for k, found in enumerate(at_rest))
