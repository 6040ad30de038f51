"""Forces inside the panel once the braces are solved for: what the loads give less what the braces take."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.panel.grillage import Compliance, Responses, base_nodes
from bracing.panel.mesh import Mesh

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.intp]

NAMES = tuple(a.name for a in Responses.__attrs_attrs__)


def split(force: Array) -> Array:
    """Turn columns (steady, case 1, case 2, ..) into rows of (steady, per mph squared).

    Args:
        force: shape (.., k, 1 + cases).

    Returns:
        Shape (.., cases, k, 2).

    Example:
        >>> split(np.array([[1.0, 2.0, 3.0]])).tolist()
        [[[1.0, 2.0]], [[1.0, 3.0]]]
    """
    steady = np.broadcast_to(force[..., :1], force[..., 1:].shape)
    return np.moveaxis(np.stack([steady, force[..., 1:]], axis=-1), -2, -3)


def inside_panels(
    meshes: Sequence[Mesh], panels: Sequence[Compliance], force: Array, *, sign: float, alike: int,
    nearest_of: tuple[Array, Flags],
) -> tuple[Responses, Array]:  # fmt: skip
    """Give the forces inside each panel: a row a case of each state alike, then one that follows the nearest brace.

    Args:
        meshes: the panels, the same but for their stiffness.
        panels: their compliances.
        force: brace forces, shape (panels, states, cases, n, 2): `alike` states, then one a brace [lb].
        sign: 1 in push, -1 in pull.
        alike: how many states are rows as they are.
        nearest_of: stud of each brace [in], and whether it counts.

    Returns:
        Responses, each (rows, .., 2); and what the plate gives in every state, (panels * states * cases, 2).

    Source: STATICS, force method.
    """
    count, states, cases, n, _ = force.shape
    flat = [_flattened(*each) for each in zip(meshes, panels, strict=True)]
    at, places = flat[0].at, flat[0].places
    inside = np.empty((count, alike + 1, cases, 2, len(places)))
    plate = np.empty((count, states, cases, 2))
    order, ends = _by_brace(_nearest(places, *nearest_of), n) if n else (np.arange(0), [])
    for k, own in enumerate(flat):
        given = sign * own.loads
        taken = force[k].swapaxes(-1, -2).reshape(states, cases * 2, n)  # by the braces
        alone = taken[:alike].reshape(alike * cases * 2, n) @ own.heads
        inside[k, :alike] = given - alone.reshape(alike, *given.shape)
        inside[k, alike] = given
        # Each number is read in one state alone, that of its nearest brace: the others are never worked out.
        heads = own.heads[:, order]
        near = [taken[alike + brace] @ heads[:, start:end] for brace, (start, end) in enumerate(ends)]
        if near:
            inside[k, alike][..., order] -= np.hstack(near).reshape(given.shape)
        per_head, per_load = own.holding
        plate[k] = (taken @ per_head).reshape(states, cases, 2) - sign * per_load
    rows = inside.reshape(count * (alike + 1) * cases, 2, -1).swapaxes(1, 2)
    found = {name: rows[:, at[name]].reshape(len(rows), *flat[0].shapes[name], 2) for name in NAMES}
    found["stud_allowance"] = np.abs(found["stud_allowance"])
    return Responses(**found), plate.reshape(-1, 2)


@frozen(eq=False)
class _Flattened:
    """The responses of a panel as rows of numbers.

    Attributes:
        at: which of the numbers are whose.
        shapes: of each, for one load.
        loads: from each case, steady and per mph squared, (cases, 2, numbers).
        heads: from a unit force of each head, (n, numbers).
        places: of each number, from LEFT [in].
        holding: what the plate gives in all against a unit force of each head (n,), and under each case (cases, 2).
    """

    at: dict[str, slice]
    shapes: dict[str, tuple[int, ...]]
    loads: Array
    heads: Array
    places: Array
    holding: tuple[Array, Array]


@lru_cache(maxsize=16)
def _flattened(mesh: Mesh, c: Compliance) -> _Flattened:
    shapes = {name: getattr(c.from_loads, name).shape[1:] for name in NAMES}
    sizes = [math.prod(shape) for shape in shapes.values()]
    at = {
        name: slice(stop - size, stop)
        for name, size, stop in zip(NAMES, sizes, np.cumsum(sizes), strict=True)
    }
    loads, heads = (_flat([getattr(part, name) for name in NAMES]) for part in (c.from_loads, c.from_heads))
    pairs = np.stack([np.broadcast_to(loads[:1], loads[1:].shape), loads[1:]], axis=1)
    held = _of_plate(heads, at), _of_plate(pairs, at)
    return _Flattened(at, shapes, pairs, heads, _places(mesh, c.from_loads), held)


def _of_plate(numbers: Array, at: dict[str, slice]) -> Array:
    """What the plate gives in all, (..,)."""
    given: Array = numbers[..., at["base"]].sum(axis=-1)
    return given


def _flat(parts: list[Array]) -> Array:
    # -1 is no size where there is no brace
    return np.hstack([part.reshape(len(part), math.prod(part.shape[1:])) for part in parts])


def _places(mesh: Mesh, like: Responses) -> Array:
    """Place of every number of the responses from LEFT, (numbers,) [in]."""
    of_kind = np.array([line.kind for line in mesh.lines])[mesh.element_line]
    spans = [line.nodes for line in mesh.lines if line.kind in ("header", "sill")]
    ends = mesh.x[mesh.element_nodes]
    stud = ends[mesh.on_stud, 0]
    places = {
        "stud_moment": stud, "stud_allowance": stud, "stud_shear": stud,
        "base": mesh.x[base_nodes(mesh)], "top": mesh.stud_x,
        "plate_moment": ends[of_kind == "plate"].ravel(), "row_moment": ends[of_kind == "row"].ravel(),
        "span_end": np.array([(mesh.x[nodes[0]] + mesh.x[nodes[-1]]) / 2.0 for nodes in spans]),
        "span_moment": ends[(of_kind == "header") | (of_kind == "sill")].ravel(),
    }  # fmt: skip
    repeats = [math.prod(getattr(like, name).shape[1:]) // max(len(places[name]), 1) for name in NAMES]
    return np.concatenate([np.repeat(places[name], k) for name, k in zip(NAMES, repeats, strict=True)])


def _nearest(every: Array, studs: Array, counts: Flags) -> Ints:
    """Brace nearest to every place, among those that count, shape (places,)."""
    order = np.flatnonzero(counts) if counts.any() else np.arange(len(studs))
    order = order[np.argsort(studs[order], kind="stable")]
    half_way = (studs[order][1:] + studs[order][:-1]) / 2.0
    nearest: Ints = order[np.searchsorted(half_way, every)]  # half-way it is the one toward LEFT
    return nearest


def _by_brace(nearest: Ints, n: int) -> tuple[Ints, list[tuple[int, int]]]:
    """The numbers in the order of the brace they follow, and where those of each brace start and end."""
    order = np.argsort(nearest, kind="stable")
    ends = np.searchsorted(nearest[order], np.arange(n + 1)).tolist()
    return order, list(pairwise(ends))
