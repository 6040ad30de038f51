"""Forces inside the panel once the braces are solved for: what the loads give less what the braces take."""

from __future__ import annotations

import math

import numpy as np
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


def inside_panel(
    mesh: Mesh, c: Compliance, force: Array, *, sign: float, alike: int, nearest_of: tuple[Array, Flags]
) -> tuple[Responses, tuple[Array, Array]]:
    """Give the forces inside one panel: a row a case of each state alike, then one that follows the nearest brace.

    Args:
        mesh: the panel.
        c: its compliance.
        force: brace forces, shape (states, cases, n, 2): `alike` states, then one a brace [lb].
        sign: 1 in push, -1 in pull.
        alike: how many states are rows as they are.
        nearest_of: stud of each brace [in], and whether it counts.

    Returns:
        Responses, each (rows, .., 2); and what plate (states * cases, 2) and returns (states * cases, 2, 2) give in
        every state.

    Source: STATICS, force method.
    """
    states, cases, n, _ = force.shape
    loads = _flat([getattr(c.from_loads, name) for name in NAMES])
    heads = _flat([getattr(c.from_heads, name) for name in NAMES])
    taken = (force.swapaxes(-1, -2).reshape(states * cases * 2, n) @ heads).reshape(states, cases, 2, -1)
    given = sign * np.stack([np.broadcast_to(loads[:1], loads[1:].shape), loads[1:]], axis=1)
    at, start = {}, 0
    for name in NAMES:
        stop = start + math.prod(getattr(c.from_loads, name).shape[1:])
        at[name] = slice(start, stop)
        start = stop

    def reaction(name: str) -> Array:
        return (taken[..., at[name]] - given[..., at[name]]).reshape(states * cases, 2, -1).swapaxes(1, 2)

    reactions = reaction("base").sum(axis=1), reaction("left_return") + reaction("right_return")
    rows = [*taken[:alike]]
    if n:
        nearest = _nearest(mesh, c.from_loads, *nearest_of)
        rows.append(taken[alike + nearest, :, :, np.arange(len(nearest))].transpose(1, 2, 0))
    else:
        rows.append(np.zeros_like(taken[0]))
    whole = (given - np.stack(rows)).reshape(len(rows) * cases, 2, -1).swapaxes(1, 2)
    found = {
        name: whole[:, at[name]].reshape(len(whole), *getattr(c.from_loads, name).shape[1:], 2)
        for name in NAMES
    }
    found["stud_allowance"] = np.abs(found["stud_allowance"])
    return Responses(**found), reactions


def _flat(parts: list[Array]) -> Array:
    # -1 is no size where there is no brace
    return np.hstack([part.reshape(len(part), math.prod(part.shape[1:])) for part in parts])


def _nearest(mesh: Mesh, like: Responses, studs: Array, counts: Flags) -> Ints:
    """Brace nearest to the place of every number of the responses, among those that count, shape (numbers,)."""
    of_kind = np.array([line.kind for line in mesh.lines])[mesh.element_line]
    spans = [line.nodes for line in mesh.lines if line.kind in ("header", "sill")]
    ends = mesh.x[mesh.element_nodes]
    stud = ends[mesh.on_stud, 0]
    places = {
        "stud_moment": stud, "stud_allowance": stud, "stud_shear": stud,
        "base": mesh.x[base_nodes(mesh)], "top": mesh.stud_x(),
        "plate_moment": ends[of_kind == "plate"].ravel(), "row_moment": ends[of_kind == "row"].ravel(),
        "span_end": np.array([(mesh.x[nodes[0]] + mesh.x[nodes[-1]]) / 2.0 for nodes in spans]),
        "span_moment": ends[(of_kind == "header") | (of_kind == "sill")].ravel(),
        "left_return": np.zeros(2), "right_return": np.full(2, mesh.x.max()),
    }  # fmt: skip
    repeats = [math.prod(getattr(like, name).shape[1:]) // max(len(places[name]), 1) for name in NAMES]
    every = np.concatenate([np.repeat(places[name], k) for name, k in zip(NAMES, repeats, strict=True)])
    order = np.flatnonzero(counts) if counts.any() else np.arange(len(studs))
    order = order[np.argsort(studs[order], kind="stable")]
    half_way = (studs[order][1:] + studs[order][:-1]) / 2.0
    nearest: Ints = order[np.searchsorted(half_way, every)]  # half-way it is the one toward LEFT
    return nearest
