"""The analysed grillage written out for any frame program.

Members carry no line loads there: each is cut into short pieces and its load put on their ends by the
lever rule, and the deflections and brace forces written beside are those of exactly that model under
exactly those loads.

To rebuild it: hold x, z and the turn about y at every node; `held` nodes are held in y too. Give members
the EI written, about the axis in the plane of the wall and square to the member, no torsion (GJ next to
nothing), and free that turn at a released end. A stud and a row that cross are both continuous, about axes
square to each other.

Every state that is enveloped has its springs under `states`, and its plates: where one ply of the top plate bends, the
EI of a beam is the one written for one ply. `returns` is the stiffness with which return walls hold some nodes of the
end studs, a matrix over those nodes: `return_lb` is it times their deflections. The state that governs is written out
with its forces under `governing`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any, TypedDict

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.panel.grillage import Compliance, analyse, base_nodes
from bracing.panel.loads import LoadSet
from bracing.panel.mesh import Line, Mesh, number_lines
from bracing.panel.reduced import solve_one_way
from bracing.units import Inch

NodeJson = TypedDict("NodeJson", {
    "id": str, "x_in": float, "z_in": float, "held": bool,
})  # fmt: skip
BeamJson = TypedDict("BeamJson", {
    "i": str, "j": str, "EI_lbin2": float, "EI_one_ply_lbin2": float, "release_i": bool, "release_j": bool,
})  # fmt: skip
SpringJson = TypedDict("SpringJson", {
    "node": str, "k_lb_per_in": float, "mark": str, "arm_in": float,
})  # fmt: skip
SolvedJson = TypedDict("SolvedJson", {
    "loads_lb": dict[str, float], "deflection_in": dict[str, float] | None,
    "brace_horizontal_lb": dict[str, float] | None, "springs_left_out": list[str],
    "return_lb": dict[str, float] | None,
})  # fmt: skip
ReturnsJson = TypedDict("ReturnsJson", {
    "nodes": list[str], "k_lb_per_in": list[list[float]],
})  # fmt: skip
MomentJson = TypedDict("MomentJson", {
    "i": str, "j": str, "moment_i_lbin": float, "moment_j_lbin": float,
})  # fmt: skip
_InsideKeys = TypedDict("_InsideKeys", {
    "base_lb": dict[str, float], "beam_moments": list[MomentJson],
})  # fmt: skip


class InsideJson(SolvedJson, _InsideKeys):
    """What `inside` gives: one state with its forces; a moment is EI times curvature, positive toward the braces."""


Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

SHORT_PIECE: Inch = 4.0
LONG_PIECE: Inch = 12.0  # up to here brace forces stay within 0.1% of those under the line loads themselves
# Past these numbers of pieces they grow longer: memory grows with the square of their number.
MANY_PIECES, MOST_PIECES = 1200, 2400


@frozen(eq=False)
class Springs:
    """The braces as a frame program sees them, one for each head of the mesh.

    Attributes:
        marks: their marks.
        give: 1/k, shape (n,) [in/lb].
        takes_push: counts when pushed together, shape (n,).
        takes_pull: counts when pulled, shape (n,).
    """

    marks: tuple[str, ...]
    give: Array
    takes_push: Flags
    takes_pull: Flags


def model(
    mesh: Mesh,
    loads: LoadSet,
    cases: Sequence[tuple[str, str]],
    *,
    springs: Springs,
    longest: Inch | None = None,
    soft: Mesh | None = None,
) -> dict[str, Any]:
    """Write a grillage, its loads, and its answer.

    Args:
        mesh: the grillage, its heads those of the springs.
        loads: one load case for each of `cases`, positive toward the braces [lb].
        cases: name and direction of each.
        springs: the braces.
        longest: longest piece of a loaded member; by the size of the wall unless given [in].
        soft: the same grillage with one ply of its top plate; `mesh` itself unless given.

    Returns:
        nodes, beams, springs and cases, as numbers and text JSON can hold. A case where a brace counts for
        nothing names it under `springs_left_out`. Where the braces cannot hold the wall, its answers are
        None.
    """
    fine, lumped = subdivide(mesh, loads, longest=longest)
    compliance = analyse(fine, lumped)
    names = _node_names(fine)
    one_ply = fine if soft is None else subdivide(soft, loads, longest=longest)[0]
    return {
        "nodes": [
            {"id": name, "x_in": float(x), "z_in": float(z), "held": bool(held)}
            for name, x, z, held in zip(names, fine.x, fine.z, fine.pinned, strict=True)
        ],
        "beams": [
            beam
            for line, less in zip(fine.lines, one_ply.lines, strict=True)
            for beam in _beams(line, less, names)
        ],
        "springs": [
            {"node": names[node], "k_lb_per_in": 1.0 / float(give), "mark": mark, "arm_in": float(arm)}
            for node, give, mark, arm in zip(
                fine.heads, springs.give, springs.marks, fine.head_arms, strict=True
            )
        ],
        "returns": returns_of(mesh, names),
        "cases": _answers(fine, compliance, lumped, cases, springs=springs),
    }


def returns_of(mesh: Mesh, names: Sequence[str] = ()) -> ReturnsJson:
    """Write the stiffness with which return walls hold nodes of the end studs: a matrix over those nodes.

    Args:
        mesh: the grillage.
        names: of its nodes, as in `model`; made unless given.
    """
    names = names or _node_names(mesh)
    return {"nodes": [names[node] for node in mesh.held], "k_lb_per_in": mesh.holding.tolist()}


def piece_length(mesh: Mesh, loads: LoadSet) -> Inch:
    """Give the longest piece loaded members are cut to [in].

    Args:
        mesh: the grillage.
        loads: its loads.

    Source: STATICS, a line load lumped at the ends of pieces.
    """
    whole = float(mesh.element_length[loads.element_load.any(axis=(0, 2))].sum())
    return max(min(max(whole / MANY_PIECES, SHORT_PIECE), LONG_PIECE), whole / MOST_PIECES)


def subdivide(mesh: Mesh, loads: LoadSet, *, longest: Inch | None = None) -> tuple[Mesh, LoadSet]:
    """Cut every loaded member into pieces, with its line load lumped at their ends.

    Args:
        mesh: the grillage.
        loads: its loads.
        longest: longest piece; by the size of the wall unless given [in].

    Returns:
        The cut grillage, its first nodes those of `mesh`, and nodal loads with the same force and moments.
    """
    longest = piece_length(mesh, loads) if longest is None else longest
    cases = len(loads.node_load)
    loaded = loads.element_load.any(axis=(0, 2))
    pieces = np.where(loaded, np.ceil(mesh.element_length / longest), 1.0).astype(int).tolist()
    x, z = mesh.x.tolist(), mesh.z.tolist()
    force: list[Array] = list(loads.node_load.T.copy())
    chains = []
    for element, (a, b) in enumerate(mesh.element_nodes.tolist()):
        part = np.linspace(0.0, 1.0, pieces[element] + 1)[1:-1]
        chain = [a, *range(len(x), len(x) + len(part)), b]
        x += (x[a] + (x[b] - x[a]) * part).tolist()
        z += (z[a] + (z[b] - z[a]) * part).tolist()
        force += [np.zeros(cases) for _ in part]
        _lump(force, chain, loads.element_load[:, element], mesh.element_length[element] / pieces[element])
        chains.append(chain)
    lines = [_cut(mesh, k, chains) for k in range(len(mesh.lines))]
    free = np.zeros(len(x) - len(mesh.x), dtype=bool)
    fine = evolve(
        mesh,
        pinned=np.concatenate([mesh.pinned, free]),
        x=np.array(x),
        z=np.array(z),
        **number_lines(np.array(x), np.array(z), lines),
    )
    return fine, LoadSet(np.zeros((cases, len(fine.element_length), 2)), np.array(force).T)


def _cut(mesh: Mesh, k: int, chains: list[list[int]]) -> Line:
    """Give a line its pieces' nodes."""
    line, elements = mesh.lines[k], range(mesh.line_start[k], mesh.line_start[k + 1])
    counts = [len(chains[element]) - 1 for element in elements]
    return Line(
        line.kind,
        (line.nodes[0], *(node for element in elements for node in chains[element][1:])),
        tuple(ei for ei, count in zip(line.rigidity, counts, strict=True) for _ in range(count)),
        tuple(plies for plies, count in zip(line.plies, counts, strict=True) for _ in range(count)),
    )


def _lump(force: list[Array], chain: list[int], load: Array, length: Inch) -> None:
    """Put a straight-line load, given at both ends, shape (cases, 2), on the nodes of equal pieces."""
    along = np.linspace(0.0, 1.0, len(chain))
    at = load[:, :1] + (load[:, 1:] - load[:, :1]) * along
    for (i, j), a, b in zip(pairwise(chain), at.T, at.T[1:], strict=False):
        force[i] += (2.0 * a + b) * length / 6.0
        force[j] += (a + 2.0 * b) * length / 6.0


def _node_names(fine: Mesh) -> list[str]:
    return [f"N{k + 1}" for k in range(len(fine.x))]


def _beams(line: Line, less: Line, names: list[str]) -> list[BeamJson]:
    last, pairs = len(line.nodes) - 2, zip(line.rigidity, less.rigidity, strict=True)
    return [
        {
            "i": names[i], "j": names[j], "EI_lbin2": float(ei), "EI_one_ply_lbin2": float(one),
            "release_i": k == 0, "release_j": k == last,
        }
        for k, ((i, j), (ei, one)) in enumerate(zip(pairwise(line.nodes), pairs, strict=True))
    ]  # fmt: skip


def inside(mesh: Mesh, loads: LoadSet, springs: Springs, *, longest: Inch | None = None) -> InsideJson | None:
    """Write one state out with its forces, under the names the nodes have in `model`.

    Args:
        mesh: the grillage of that state.
        loads: its one load case, positive toward the braces [lb].
        springs: the braces as they give in it.
        longest: longest piece of a loaded member; by the size of the wall unless given [in].

    Returns:
        The state; None where the braces cannot hold the wall in it.
    """
    fine, lumped = subdivide(mesh, loads, longest=longest)
    compliance, names = analyse(fine, lumped), _node_names(fine)
    (found,) = _answers(fine, compliance, lumped, [("", "")], springs=springs)
    if found["brace_horizontal_lb"] is None:
        return None
    force = np.array(list(found["brace_horizontal_lb"].values()))

    def left(name: str) -> Array:
        given = getattr(compliance.from_loads, name)[0]
        return np.asarray(given - np.tensordot(force, getattr(compliance.from_heads, name), axes=1))

    kind = np.array([line.kind for line in fine.lines])[fine.element_line]
    moment = np.full((len(kind), 2), np.nan)
    moment[fine.on_stud] = left("stud_moment")[:, [0, -1]]
    for name, where in (
        ("plate_moment", kind == "plate"), ("row_moment", kind == "row"),
        ("span_moment", (kind == "header") | (kind == "sill")),
    ):  # fmt: skip
        moment[where] = left(name)
    return {
        "loads_lb": found["loads_lb"], "deflection_in": found["deflection_in"],
        "brace_horizontal_lb": found["brace_horizontal_lb"], "springs_left_out": found["springs_left_out"],
        "return_lb": found["return_lb"],
        "base_lb": {names[n]: -float(f) for n, f in zip(base_nodes(fine), left("base"), strict=True)},
        "beam_moments": [
            {"i": names[a], "j": names[b], "moment_i_lbin": float(first), "moment_j_lbin": float(last)}
            for (a, b), (first, last) in zip(fine.element_nodes.tolist(), moment, strict=True)
            if not np.isnan(first)
        ],
    }  # fmt: skip


def _answers(
    fine: Mesh, compliance: Compliance, loads: LoadSet, cases: Sequence[tuple[str, str]], *, springs: Springs
) -> list[dict[str, Any]]:
    count, n, names = len(cases), len(springs.give), _node_names(fine)
    found = solve_one_way(
        np.broadcast_to(compliance.flexibility, (count, n, n)),
        np.broadcast_to(compliance.motions, (count, *compliance.motions.shape)),
        np.broadcast_to(springs.give, (count, n)),
        takes_push=np.broadcast_to(springs.takes_push, (count, n)),
        takes_pull=np.broadcast_to(springs.takes_pull, (count, n)),
        under_load=compliance.under_load[:, :, None], work=compliance.work[:, :, None],
    )  # fmt: skip
    force = found.force[..., 0]
    moved = compliance.moved(found.force[..., 0].T, found.motion[..., 0].T)
    held, given = [names[node] for node in fine.held], moved[:, list(fine.held)] @ fine.holding
    return [
        {
            "case": case,
            "direction": direction,
            "loads_lb": {
                name: float(load) for name, load in zip(names, loads.node_load[k], strict=True) if load
            },
            "deflection_in": _named(names, moved[k]) if found.held[k] else None,
            "brace_horizontal_lb": _named(springs.marks, force[k]) if found.held[k] else None,
            "return_lb": _named(held, given[k]) if found.held[k] else None,
            "springs_left_out": [mark for mark, f in zip(springs.marks, force[k], strict=True) if f == 0.0],
        }
        for k, (case, direction) in enumerate(cases)
    ]


def _named(names: Sequence[str], values: Array) -> dict[str, float]:
    return dict(zip(names, values.tolist(), strict=True))
