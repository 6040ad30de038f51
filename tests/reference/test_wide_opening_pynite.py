"""A wall with a 16 ft door: bending of its header and of the king beside it, in PyNiteFEA from the exported model."""

from __future__ import annotations

import numpy as np
import pytest

from bracing.check import check
from bracing.reading.jobs import read_job
from bracing.text.frame import frame_model
from tests.guards.test_ends_wide import garage

pytest.importorskip("Pynite")
from tests.reference.test_panel_pynite import build

pytestmark = pytest.mark.reference
LUMPED = 0.02  # the exported model lumps line loads at the ends of short pieces
KING = 69.75


@pytest.mark.parametrize("kings", [1, 2])
def test_header_and_king_of_a_wide_opening(tmp_path, kings):
    result = check(read_job(str(garage(tmp_path, kings=kings))), gust=20.0, effects=False)
    found = frame_model(result)
    frame, at = build(found), {node["id"]: (node["x_in"], node["z_in"]) for node in found["nodes"]}
    forces, mesh = result.evaluation.forces[0], result.model.meshes[0]
    spans = [k for k, line in enumerate(mesh.lines) if line.kind == "header"]
    (high,) = {float(mesh.z[n]) for k in spans for n in mesh.lines[k].nodes}
    header, king = [], []
    for k, beam in enumerate(found["beams"]):
        (x0, z0), (x1, z1) = at[beam["i"]], at[beam["j"]]
        if abs(z0 - high) + abs(z1 - high) < 1e-6 and 72.0 - 3.0 < (x0 + x1) / 2.0 < 264.0 + 3.0:
            header.append(k)
        if abs(x0 - KING) + abs(x1 - KING) < 1e-6:
            king.append(k)
    assert header
    assert king
    own = np.array([mesh.stud_x[np.abs(mesh.stud_x - KING).argmin()]])
    on_king = np.isclose(mesh.x[mesh.element_nodes[mesh.on_stud, 0]], own)
    names = result.model.rows
    for number, case in enumerate(found["cases"]):
        if case["direction"] != "push":
            continue
        rows = [
            row for row, (name, _, plates, slip) in enumerate(names)
            if (name, plates, slip) == (case["case"], "both plies", "published slip")
        ]  # fmt: skip
        row = rows[0]

        def theirs(members, number=number):
            return max(
                max(abs(frame.members[f"M{k}"].moment(axis, end, f"C{number}"))
                    for axis in ("My", "Mz") for end in (0.0, frame.members[f"M{k}"].L()))
                for k in members
            )  # fmt: skip

        ours = np.abs(forces.at(forces.responses.span_moment, 20.0)[row]).max()
        assert ours == pytest.approx(theirs(header), rel=LUMPED), case["case"]
        stud = np.abs(forces.at(forces.responses.stud_moment, 20.0)[row][on_king]).max()
        assert stud == pytest.approx(theirs(king), rel=LUMPED), case["case"]
