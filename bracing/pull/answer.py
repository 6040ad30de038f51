"""What the pull tests of a wall file come to: each beside the tables, and the limit gust with them and without."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from typing import TypedDict

from attrs import evolve, frozen

from bracing.chain.materials import Materials, materials_of, sheathing_plies
from bracing.check import check
from bracing.choosing import whole_down
from bracing.codes.joints import FastenerCapacity
from bracing.codes.pulls import Counted, counted
from bracing.job.brace import cleat_shape
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.pulls import DECK, JOIST, STUD, PullTest
from bracing.results import HeaderJson, header
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch, Pound

BOARD = {  # one, several
    "joist": (Said("pull-joist"), Said("look-joists")), "deck": (Said("look-deck"), Said("pull-decks")),
    "stud": (Said("pull-stud"), Said("look-studs")), "plate": (Said("pull-plate"), Said("pull-plates")),
}  # fmt: skip
UNKNOWN = {"driven": Said("pull-of-driven"), "pulled": Said("pull-of-pulled")}
ENDED: dict[str, Callable[[int], Said]] = {
    "stopped": lambda count: Said("pull-ended-stopped", count=count),
    "head": lambda count: Said("pull-ended-head", count=count),
    "split": lambda count: Said("pull-ended-split", count=count),
    "steel": lambda count: Said("pull-ended-steel", count=count),
}
JointJson = TypedDict("JointJson", {
    "joint": str, "holding_in": float, "table_lb": float, "cap_lb": float | None, "counts_lb": float,
    "head_or_steel_lb": float,
})  # fmt: skip
TestJson = TypedDict("TestJson", {
    "name": str, "fastener": str, "into": str, "pulls": int, "boards": int, "pulls_lb": list[float], "mean_lb": float,
    "spread": float | None, "k": float | None, "low_end_lb": float | None, "routes_lb": list[float],
    "allowed_lb": float, "joints": list[JointJson], "told": str,
})  # fmt: skip
_PullKeys = TypedDict("_PullKeys", {
    "wall": str, "tests": list[TestJson], "limit_gust_mph": int | None, "limit_gust_by_tables_mph": int | None,
    "files": list[str],
})  # fmt: skip


class PullJson(HeaderJson, _PullKeys):
    """What `bracing pull` gives."""


@frozen
class InJoint:
    """One joint of the wall in which a pulled fastener's point is.

    Attributes:
        joint: which.
        holding: length that holds there [in].
        table: withdrawal by the tables [lb].
        cap: the most of the pulls that may count; None where a report lifts that [lb].
        counts: withdrawal that counts [lb].
        others: the lesser of head and steel, which no pull tests [lb].
    """

    joint: Said
    holding: Inch
    table: Pound
    cap: Pound | None
    counts: Pound
    others: Pound

    @property
    def told(self) -> Said:
        """Say what counts there."""
        cap = Said("pull-no-cap") if self.cap is None else Said("pull-cap", cap=_strength(self.cap))
        joint, table, counts = self.joint, _strength(self.table), _strength(self.counts)
        if self.others < self.counts:
            others = _strength(self.others)
            return Said("pull-joint-head", joint=joint, table=table, cap=cap, counts=counts, others=others)
        return Said("pull-joint", joint=joint, table=table, cap=cap, counts=counts)

    def to_dict(self, words: Callable[[Said], str]) -> JointJson:
        """Give it as JSON.

        Args:
            words: writes what is said.
        """
        return {
            "joint": words(self.joint), "holding_in": float(self.holding), "table_lb": float(self.table),
            "cap_lb": self.cap, "counts_lb": float(self.counts), "head_or_steel_lb": float(self.others),
        }  # fmt: skip


@frozen
class TestResult:
    """One test beside the tables, in each joint of the wall it tells of.

    Attributes:
        test: the test.
        found: what its pulls come to.
        joints: where it counts; none where nothing of the wall is fastened so.
    """

    test: PullTest
    found: Counted
    joints: tuple[InJoint, ...]

    @property
    def told(self) -> Said:
        """Say in a line what it comes to."""
        found = self.found
        name, board = self.test.name, BOARD[self.test.into][found.boards > 1]
        ends = tuple(one.told for one in self.joints) or (Said("pull-not-used"),)
        if found.low_end is None:
            lowest = _strength(min(map(self.test.pull, self.test.counted)))
            return Said(
                "pull-few", name=name, pulls=found.n, boards=found.boards, board=board, lowest=lowest,
                third=_strength(found.routes[0]), after=self._after, ends=ends,
            )  # fmt: skip
        first, second = found.routes
        return Said(
            "pull-told", name=name, pulls=found.n, boards=found.boards, board=board, ends=ends,
            mean=_strength(found.mean), s=f"{found.s or 0.0:.2f}", k=f"{found.k or 0.0:.3f}",
            low_end=_strength(found.low_end), CM=_factor(first.arguments["CM"]), kmod=f"{second.arguments['kmod']:.2f}",
            first=_strength(first), second=_strength(second), after=self._after,
        )  # fmt: skip

    @property
    def _after(self) -> Said:
        """What moisture leaves of it, where it takes something."""
        factor = self.found.allowed.arguments.get("CM")
        if factor is None:
            return Said("pull-nothing")
        return Said("pull-after-moisture", CM=f"{factor:.2f}", left=_strength(self.found.allowed))

    @property
    def minds(self) -> tuple[Said, ...]:
        """Say what is to be minded of it."""
        test, minds = self.test, []
        unknown = tuple(said for key, said in UNKNOWN.items() if getattr(test, key) is None)
        if unknown:
            minds.append(Said("pull-assumed", name=test.name, what=unknown))
        if test.depth is None:
            minds.append(Said("pull-as-in-the-joint", name=test.name))
        minds += [Said("pull-left-out", name=test.name, pull=one.pull, why=one.why) for one in test.left_out]
        ends = Counter(test.ends[k] for k in test.counted if test.ends[k] != "drawn")
        if ends:
            said = tuple(ENDED[end](count) for end, count in sorted(ends.items()))
            minds.append(Said("pull-ended", name=test.name, ends=said))
        return tuple(minds)

    def to_dict(self, words: Callable[[Said], str]) -> TestJson:
        """Give it as JSON.

        Args:
            words: writes what is said.
        """
        test, found = self.test, self.found
        return {
            "name": test.name, "fastener": test.fastener, "into": test.into, "pulls": found.n, "boards": found.boards,
            "pulls_lb": [test.pull(k) for k in test.counted], "mean_lb": float(found.mean),
            "spread": _or_none(found.s), "k": _or_none(found.k), "low_end_lb": _or_none(found.low_end),
            "routes_lb": [float(each) for each in found.routes], "allowed_lb": float(found.allowed),
            "joints": [one.to_dict(words) for one in self.joints], "told": words(self.told),
        }  # fmt: skip


def _strength(load: float) -> Quantity:
    return Quantity(float(load), Kind.STRENGTH)


def _or_none(value: float | None) -> float | None:
    return None if value is None else float(value)


def _factor(CM: object) -> str:
    """A wet service factor as a factor of the printed product; nothing of one."""
    return "" if CM == 1.0 else f"{CM:.2g} x "


@frozen
class PullResult:
    """The pull tests of a wall.

    Attributes:
        job: the wall.
        tests: each of them.
        limit: limit gust with them; None where the wall is for an engineer [mph].
        by_tables: limit gust by the tables alone [mph].
        files: files that were written.
    """

    job: Job
    tests: tuple[TestResult, ...]
    limit: int | None
    by_tables: int | None
    files: tuple[str, ...] = ()

    def to_dict(self, words: Callable[[Said], str]) -> PullJson:
        """Give it as JSON.

        Args:
            words: writes what is said.
        """
        return {
            **header(self.job, "pull"), "wall": self.job.wall.name,
            "tests": [one.to_dict(words) for one in self.tests], "limit_gust_mph": self.limit,
            "limit_gust_by_tables_mph": self.by_tables, "files": list(self.files),
        }  # fmt: skip


def pulled(job: Job) -> PullResult:
    """Give what the pull tests of a wall come to.

    Args:
        job: the wall.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    bare = evolve(job, pull_tests=())
    tests = tuple(_tested(job, test) for test in job.pull_tests)
    limits = (
        [check(each, effects=False).limit for each in (job, bare)] if tests and job.braces else [None, None]
    )
    limit, by_tables = (None if each is None else whole_down(each) for each in limits)
    return PullResult(job, tests, limit, by_tables)


def _tested(job: Job, test: PullTest) -> TestResult:
    bare, alone = (materials_of(evolve(job, pull_tests=tests)) for tests in ((), (test,)))
    one = bare.fastener(test.fastener)
    found = counted(test, one.kind, green=bare.wet, reported=one.report is not None)
    joints = tuple(
        _in_joint(found, said, table=table, pulled=pulled)
        for (said, table), (_, pulled) in zip(_joints(bare, test), _joints(alone, test), strict=True)
    )
    return TestResult(test, found, joints)


def _in_joint(found: Counted, said: Said, *, table: FastenerCapacity, pulled: FastenerCapacity) -> InJoint:
    by_table, counts = float(table.withdrawal), float(pulled.withdrawal)
    cap = None if found.most is None else float(found.most) * by_table
    others = min(float(each) for each in (pulled.steel, pulled.pull_through) if each is not None)
    return InJoint(said, pulled.holding, by_table, cap, counts, others)


def _joints(materials: Materials, test: PullTest) -> Iterator[tuple[Said, FastenerCapacity]]:
    """Give the joints of the wall in which the point of a tested fastener is in that board."""
    one = materials.fastener(test.fastener)

    def same(name: str | None) -> bool:
        return name is not None and materials.fastener(name) == one

    if test.into in (JOIST, DECK) and materials.job.floor.kind == DECK:
        yield from _in_floor(materials, test, same)
    if test.into == STUD:
        yield from _in_studs(materials, same)


def _in_floor(
    materials: Materials, test: PullTest, same: Callable[[str | None], bool]
) -> Iterator[tuple[Said, FastenerCapacity]]:
    floor, plate, cleat = materials.job.floor, materials.job.wall.plate, materials.job.kit.cleat
    deck, joist = materials.deck_ply(), materials.joist_ply()
    under = (deck, joist) if test.into == JOIST else (deck,)
    if same(cleat.floor_fastener):
        size, stick = (
            section(cleat.size),
            section(materials.job.kit.stock[0].size if materials.job.kit.stock else cleat.size),
        )
        thick = cleat_shape(size, stick, cleat.lie).thickness
        side = materials.brace_ply(cleat.size, thickness=thick)
        yield Said("pull-in-cleat"), materials.capacity(cleat.floor_fastener, side, *under)
    names = [plate.fastener] + ([plate.extra.fastener] if plate.extra.at_each_brace else [])
    for name in dict.fromkeys(each for each in names if same(each)):
        if plate.into_framing or test.into == DECK:
            yield Said("pull-in-plate"), materials.capacity(name, materials.stud_ply(), *under)
    if test.into == JOIST and same(floor.panel_nails.fastener):
        yield Said("pull-in-panel"), materials.capacity(floor.panel_nails.fastener, deck, joist)


def _in_studs(
    materials: Materials, same: Callable[[str | None], bool]
) -> Iterator[tuple[Said, FastenerCapacity]]:
    kit, plate = materials.job.kit, materials.job.wall.plate
    if same(kit.head.fastener):
        stick = materials.brace_ply(kit.stock[0].size if kit.stock else kit.cleat.size)
        yield Said("pull-in-head"), materials.capacity(kit.head.fastener, stick, materials.stud_ply())
    plies = sheathing_plies(materials)
    if plies and same(plate.sheathing_fastener):
        yield Said("pull-in-sheathing"), materials.capacity(plate.sheathing_fastener, *plies)
