"""One fastener step by step: bearing, yield mode, withdrawal, pull-through, and the factors on each."""

from __future__ import annotations

import math

from attrs import field, frozen

from bracing.chain.materials import Materials
from bracing.codes.nds import factors
from bracing.codes.nds.dowels import Dowel, reduction_terms, yield_modes
from bracing.codes.nds.drive import Drive, Ply, drive
from bracing.codes.nds.fastener import MOST_LOAD_DURATION, FastenerCapacity
from bracing.codes.nds.withdrawal import head_pull_through, withdrawal_per_inch
from bracing.job.fasteners import Fastener
from bracing.sources import cite
from bracing.trace.steps import Step, n

PAIR = 2  # a side and a main member


@frozen
class Call:
    """One fastener looked up in one joint.

    Attributes:
        name: the fastener.
        plies: side member first.
        rows: rows of fasteners.
        toe_nailed: driven as a toe-nail.
        found: what came out.
    """

    name: str
    plies: tuple[Ply, ...]
    rows: int
    toe_nailed: bool
    found: FastenerCapacity


@frozen
class Recorder(Materials):
    """Materials that keep every fastener looked up, so that a sum is shown of the very members it was made of.

    Attributes:
        calls: in the order they were made.
    """

    calls: list[Call] = field(factory=list, eq=False)

    def capacity(self, name: str, *plies: Ply, rows: int = 1, toe_nailed: bool = False) -> FastenerCapacity:
        """Give one fastener's capacity through some plies, and keep it.

        Args:
            name: the fastener.
            plies: side member first.
            rows: rows of fasteners.
            toe_nailed: driven as a toe-nail.
        """
        found = super().capacity(name, *plies, rows=rows, toe_nailed=toe_nailed)
        self.calls.append(Call(name, plies, rows, toe_nailed, found))
        return found


def lateral_steps(materials: Materials, call: Call) -> list[Step]:
    """Give the steps to the allowable force across one fastener.

    Args:
        materials: the job's materials.
        call: the fastener in its joint.
    """
    one, found = materials.fastener(call.name), call.found
    placed = drive(one, call.plies, toe_nailed=call.toe_nailed)
    if found.lateral <= 0.0:
        return [Step(f"{call.name} across: {found.lateral_mode}", "0", 0.0, "lb", cite("NDS", "12.3.1"))]
    if found.lateral_mode == "report":
        reference = float(one.lateral or 0.0)
        first = [
            Step(
                f"{call.name} across, as reported",
                n(reference),
                reference,
                "lb",
                cite("USER", one.report or ""),
            )
        ]
    else:
        first = _mode_steps(one, placed, call.name)
        reference = first[-1].value
    known, said = _lateral_factors(call, one, placed, green=materials.wet)
    rest = found.lateral / (reference * math.prod(known))
    if abs(rest - 1.0) > 1e-9:  # a fastener short of its full penetration counts in part
        known, said = [*known, rest], [*said, "penetration"]
    arithmetic = " × ".join(n(value) for value in (reference, *known))
    words = f"allowable across, Z': {', '.join(said)}"
    return [*first, Step(words, arithmetic, found.lateral, "lb", cite("NDS", "11.3, 12.5"))]


def _lateral_factors(
    call: Call, one: Fastener, placed: Drive, *, green: bool
) -> tuple[list[float], list[str]]:
    known, said = [MOST_LOAD_DURATION], ["load duration"]
    if green:
        known.append(factors.green_lateral(one.diameter, rows=call.rows))
        said.append("green")
    if placed.end_grain:
        known.append(factors.end_grain_lateral())
        said.append("end grain")
    if call.toe_nailed:
        known.append(factors.toe_nail_factors()[0])
        said.append("toe-nail")
    return known, said


def _mode_steps(one: Fastener, placed: Drive, name: str) -> list[Step]:
    """The least of the six yield modes, with its own equation."""
    dowel = Dowel(one.diameter, one.yield_diameter, one.fyb)
    main, side = placed.main, placed.side
    modes = yield_modes(dowel, main, side, angle=placed.angle)
    rd = reduction_terms(dowel, placed.angle)
    mode = modes.governing
    Rd = rd[0] if mode in ("Im", "Is") else rd[1] if mode == "II" else rd[2]
    D, lm, ls, Fem, Fes, Fyb = (
        n(v) for v in (dowel.diameter, main.length, side.length, main.strength, side.strength, dowel.fyb)
    )
    Re, Rt = main.strength / side.strength, main.length / side.length
    r, t, by = n(Re), n(Rt), n(Rd)
    k1 = f"(√({r} + 2 × {r}^2 × (1 + {t} + {t}^2) + {t}^2 × {r}^3) - {r} × (1 + {t})) / (1 + {r})"
    k2 = f"(√(2 × (1 + {r}) + 2 × {Fyb} × (1 + 2 × {r}) × {D}^2 / (3 × {Fem} × {lm}^2)) - 1)"
    k3 = f"(√(2 × (1 + {r}) / {r} + 2 × {Fyb} × (2 + {r}) × {D}^2 / (3 × {Fem} × {ls}^2)) - 1)"
    sums = {
        "Im": f"{D} × {lm} × {Fem} / {by}",
        "Is": f"{D} × {ls} × {Fes} / {by}",
        "II": f"{k1} × {D} × {ls} × {Fes} / {by}",
        "IIIm": f"{k2} × {D} × {lm} × {Fem} / ((1 + 2 × {r}) × {by})",
        "IIIs": f"{k3} × {D} × {ls} × {Fem} / ((2 + {r}) × {by})",
        "IV": f"{D}^2 / {by} × √(2 × {Fem} × {Fyb} / (3 × (1 + {r})))",
    }
    others = ", ".join(f"{key} {value:.0f}" for key, value in modes.by_name().items() if key != mode)
    clause = cite("NDS", "tables 12.3.1A, 12.3.1B, 12.3.3")
    return [
        Step(
            f"{name}: bearing of main over side member, Fem/Fes (lengths {lm} and {ls} in, D {D} in, Fyb {Fyb} psi, "
            f"Rd {by})", f"{Fem} / {Fes}", Re, "", clause,
        ),
        Step(f"yield mode {mode}, the least (the others: {others} lb)", sums[mode], modes.least, "lb", clause),
    ]  # fmt: skip


def axial_steps(materials: Materials, call: Call) -> list[Step]:
    """Give the steps to the allowable pull along one fastener: the least of thread, head and steel.

    Args:
        materials: the job's materials.
        call: the fastener in its joint.
    """
    one, found = materials.fastener(call.name), call.found
    call = _holder(materials, call)
    placed = drive(one, call.plies, toe_nailed=call.toe_nailed)
    steps = []
    per_inch = withdrawal_per_inch(one, placed.holding_gravity)
    W = one.withdrawal_per_inch if one.withdrawal_per_inch is not None else per_inch
    if placed.holding > 0.0 and W and found.withdrawal > 0.0:
        if one.withdrawal_per_inch is None:
            steps.append(
                Step(
                    f"{call.name}: withdrawal an inch, G {n(placed.holding_gravity)}",
                    _per_inch(one, placed.holding_gravity), per_inch, "lb/in", cite("NDS", "12.2"),
                )
            )  # fmt: skip
        rest = found.withdrawal / (W * placed.holding * MOST_LOAD_DURATION)
        steps.append(
            Step(
                f"withdrawal of the point, held by {placed.held_by}: length, load duration, moisture and place",
                f"{n(W)} × {n(placed.holding)} × {n(MOST_LOAD_DURATION)} × {n(rest)}", found.withdrawal, "lb",
                cite("NDS", "12.2, table 11.3.3"),
            )
        )  # fmt: skip
    if found.pull_through is not None:
        steps.append(_pull_through(one, placed, call, found.pull_through))
    parts = [v for v in (found.withdrawal, found.pull_through, found.steel) if v is not None]
    least = f"min({', '.join(n(v) for v in parts)})"
    steps.append(
        Step(
            f"allowable along, the least of thread, head, steel: {found.axial_mode}", least, found.axial, "lb"
        )
    )
    return steps


def _holder(materials: Materials, call: Call) -> Call:
    """The joint without its joist, where the deck panel alone holds the point better than the joist does."""
    if len(call.plies) <= PAIR or call.plies[1].material != "panel" or call.toe_nailed:
        return call
    alone = materials.capacity(call.name, *call.plies[:PAIR], rows=call.rows)
    if not math.isclose(alone.withdrawal, call.found.withdrawal, rel_tol=1e-9):
        return call
    return Call(call.name, call.plies[:PAIR], call.rows, call.toe_nailed, call.found)


def _per_inch(one: Fastener, G: float) -> str:
    D, g = n(one.diameter), n(G)
    if one.kind == "nail":
        return f"1800 × {g}^2 × {D}" if one.deformed else f"1380 × {g}^2.5 × {D}"
    return f"1800 × {g}^1.5 × {D}^0.75" if one.kind == "lag" else f"2850 × {g}^2 × {D}"


def _pull_through(one: Fastener, placed: Drive, call: Call, value: float) -> Step:
    side, head = call.plies[0], one.head
    plain = head_pull_through(side.G, head, placed.side.length) * MOST_LOAD_DURATION
    if one.pull_through is None and plain > 0.0:
        arithmetic = (
            f"690 × 3.141593 × {n(head)} × {n(side.G)}^2 × min({n(placed.side.length)}, 2.5 × {n(head)}) × "
            f"{n(MOST_LOAD_DURATION)} × {n(value / plain)}"
        )
    else:
        arithmetic = n(value)
    return Step(
        "pull-through of the head, load duration, moisture", arithmetic, value, "lb", cite("NDS", "12.2-6")
    )
