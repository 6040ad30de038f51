"""A stamped plan rehearsed: demand recomputed by somebody who has the printed trace alone."""

from __future__ import annotations

import html
import math
import re

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.by_hand import state_of
from bracing.chain.links import At
from bracing.chain.model import ALIKE, SLIPS
from bracing.check import check
from bracing.reading.jobs import job_from_text
from tests.cli.running import EXAMPLES, run
from tests.rehearsal import SlipError, rehearsed

TEXT = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
HEAD = TEXT[: TEXT.index("[[brace]]")]
HEAD = HEAD[: HEAD.index("[[wall.opening]]")] + HEAD[HEAD.index("[wall.plate]") :]
BRACE = """
[[brace]]
stud_at = "{at} ft"
head = "{head} ft"
set_back = "{back} ft"
size = "2x6"
ties = 1
head_fasteners = 4
cleat_fasteners = 4
floor_fasteners = 6
foot_on = "joist"
"""


def wall_of(length, height, braces):
    sized = HEAD.replace('length = "20 ft"', f'length = "{length} ft"').replace('"9 ft"', f'"{height} ft"')
    return sized + "".join(BRACE.format(at=at, head=head, back=back) for at, head, back in braces)


# Length, height, studs from LEFT, head, set-back [ft].
MADE = [
    (20, 9, (4, 16), 6, 6), (24, 9, (4, 12, 20), 7, 8), (28, 10, (4, 12, 20, 24), 8, 8), (32, 8, (4, 16, 28), 6, 7),
    (32, 12, (4, 12, 20, 28), 9, 10), (16, 9, (4, 12), 7, 9), (24, 8, (4, 8, 16, 20), 6, 6),
    (36, 9, (4, 12, 20, 24, 32), 7, 7), (20, 11, (4, 8, 16), 8, 9),
]  # fmt: skip
NAMES = "flexibility_in_per_lb", "give_in_per_lb", "motions", "moved_in", "work_lb"
NUMBER = r"-?[0-9.]+(?:e[+-]?[0-9]+)?"


def written(path, which):
    length, height, studs, head, back = MADE[which]
    path.write_text(wall_of(length, height, [(at, head, back) for at in studs]), encoding="utf-8")
    return path


@pytest.fixture(params=[*range(len(MADE)), "short-wall-braced"])
def wall(request, tmp_path):
    if isinstance(request.param, str):
        return EXAMPLES / f"{request.param}.toml"
    return written(tmp_path / "wall.toml", request.param)


def numbers(line):
    return [float(each) for each in re.findall(NUMBER, line)]


def read(text):
    """What a person copies off the page: F, 1/k, Z, w, L, and the forces it says they come to."""
    part = text[text.index("Brace forces of the governing case") :]
    lines = part.splitlines()
    at = next(k for k, line in enumerate(lines) if line.strip().startswith("F, in/1000"))
    marks = lines[at + 1].split()
    n = len(marks)

    def rows(start):
        told = zip(marks, lines[start : start + n], strict=True)
        return np.array([numbers(line.split(mark, 1)[1]) for mark, line in told])

    F, own = rows(at + 2), rows(at + 3 + n)
    m = own.shape[1] - 3
    work = [re.search(rf"L along Z{k + 1}: ({NUMBER}) \+ ({NUMBER}) V", part) for k in range(m)]
    forces = [
        re.search(rf"R {mark}: {NUMBER} \+ {NUMBER} V\^2 = ({NUMBER}) lb at ({NUMBER}) mph", part)
        for mark in marks
    ]
    return {
        "marks": marks, "F": F / 1000.0, "give": own[:, 0] / 1000.0, "Z": own[:, 1 : 1 + m], "w": own[:, 1 + m :],
        "L": np.array([[float(one[1]), float(one[2])] for one in work]),
        "R": np.array([float(one[1]) for one in forces]), "gust": float(forces[0][2]),
    }  # fmt: skip


def solved(F, give, Z, moved, work):
    """(F + 1/k) R - Z a = w and Z' R = L, by elimination."""
    n, m = Z.shape
    whole = np.zeros((n + m, n + m))
    whole[:n, :n] = F + np.diag(give)
    whole[:n, n:], whole[n:, :n] = -Z, Z.T
    return np.linalg.solve(whole, np.concatenate([moved, work]))[:n]


def test_who_has_the_printed_trace_alone_comes_to_the_printed_forces(capsys, wall):
    said = read(run(capsys, "trace", wall, "--gust", "20").out)
    F = said["F"]
    assert np.abs(F - F.T).max() <= 1e-4 * np.abs(F).max()  # a pound here moves there as one there moves here
    speed = np.array([1.0, said["gust"] ** 2])
    forces = solved(F, said["give"], said["Z"], said["w"] @ speed, said["L"] @ speed)
    assert forces == pytest.approx(said["R"], abs=0.005 * np.abs(said["R"]).max())


def test_the_demand_of_the_governing_link_is_that_force_on_its_slope(capsys, tmp_path):
    """The lift of a brace is its level force times the tangent of its angle; the trace of the link begins with it."""
    seen = 0
    for k in range(len(MADE)):
        path = written(tmp_path / f"{k}.toml", k)
        text = run(capsys, "trace", path, "--gust", "20").out
        said = read(text)
        document = run(capsys, "check", path, "--gust", "20", "--json").json
        angles = {brace["mark"]: brace["angle_deg"] for brace in document["braces"]}
        flat = " ".join(text.split())
        governs = re.search(r"State 1, that governs (.+?) at (B[0-9]+): ", flat)
        found = re.search(
            rf"lift of (B[0-9]+) at ({NUMBER}) mph, from the frame .*?\^2 = ({NUMBER}) lb", flat
        )
        if (
            governs is None
            or found is None
            or found[1] != governs[2]
            or abs(float(found[2]) - said["gust"]) > 0.01
        ):
            continue  # another kind of link governs
        seen += 1
        force = said["R"][said["marks"].index(found[1])]
        assert abs(force) * math.tan(math.radians(angles[found[1]])) == pytest.approx(
            float(found[3]), rel=2e-3
        )
    assert seen >= 3


def test_more_than_six_braces_are_in_the_json_and_not_on_the_screen(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    braces = [(at, 6, 8) for at in (4, 8, 12, 16, 20, 24, 28)]
    path.write_text(wall_of(32, 9, braces), encoding="utf-8")
    said = run(capsys, "trace", path, "--gust", "20").out
    assert "more than are solved by hand" in said
    assert "F, in/1000" not in said
    hand = run(capsys, "trace", path, "--gust", "20", "--json").json["by_hand"]
    forces = solved(*(np.array(hand[name]) for name in NAMES))
    assert forces == pytest.approx(np.array(hand["force_lb"]), rel=1e-6, abs=1e-6)


def test_braces_that_count_one_way_have_no_part_in_the_other(capsys, tmp_path):
    """With those out that the state says do not work, the rest alone come to the same forces."""
    path, seen = tmp_path / "wall.toml", 0
    for k in range(len(MADE)):
        text = written(path, k).read_text(encoding="utf-8")
        path.write_text(
            text.replace("ties = 1\nhead_", "head_", 1), encoding="utf-8"
        )  # the first is too slender to push
        hand = run(capsys, "trace", path, "--gust", "20", "--json").json["by_hand"]
        if hand is None or all(hand["working"]):
            continue
        seen += 1
        on = np.array(hand["working"])
        F, give, Z, moved, work = (np.array(hand[name]) for name in NAMES)
        forces = solved(F[np.ix_(on, on)], give[on], Z[on], moved[on], work)
        assert forces == pytest.approx(np.array(hand["force_lb"])[on], rel=1e-6, abs=1e-6)
    assert seen


def test_a_wall_nothing_keeps_up_has_no_equations(capsys):
    answer = run(capsys, "check", EXAMPLES / "as-found.toml", "--json").json
    assert answer["limit_gust_mph"] == 0
    hand = run(capsys, "trace", EXAMPLES / "as-found.toml", "--gust", "20", "--json").json["by_hand"]
    assert hand is None or any(hand["working"])


@pytest.mark.parametrize(("at", "mark"), [(87.0, "NEAR"), (88.0, "NEAR"), (89.0, "FAR")])
def test_half_way_a_place_follows_the_brace_toward_left(at, mark):
    """FAR stands on 112 in and comes first, NEAR on 64: half-way, at 88, the state is that of NEAR."""
    braces = [(112.0 / 12.0, 6, 8), (64.0 / 12.0, 6, 8), (16.0, 6, 8)]
    head, *parts = wall_of(20, 9, braces).split("[[brace]]")
    marked = zip(("FAR", "NEAR", "LAST"), parts, strict=True)
    text = head + "".join(f'[[brace]]\nmark = "{name}"{part}' for name, part in marked)
    result = check(job_from_text(text, "wall.toml"), gust=20.0, effects=False)
    model = result.model
    link = next(each for each in result.links if each.mark is None and each.direction == "push")
    row = At("A", "closed", model.plates[0], SLIPS[ALIKE])
    state = state_of(model, evolve(link, x=at), row)
    slip = f"{mark} at the published slip, the others three times it"
    assert model.marks[state.slip - ALIKE] == mark
    assert model.states[state.row(model)] == ("A", "closed", model.plates[0], slip)


def test_who_has_the_printed_page_alone_comes_to_every_demand_and_capacity(capsys, wall):
    """Of links in the panel too: from F, 1/k, Z, w and L to brace forces, to what each is asked and may carry."""
    results, demands = rehearsed(run(capsys, "trace", wall, "--gust", "20").out)
    assert results > 100
    assert demands > 10


def as_printed(page):
    """What the engineer's part of the page says, as the lines of a trace: nothing is taken from elsewhere."""
    part = page[page.index("Trace of the sums") :]
    lines = ["Clear-out gust"]
    for heading, body in re.findall(r"<h3><bdi>(.*?)</bdi></h3>(.*?)(?=<h3>)", part, re.DOTALL):
        lines += ["", html.unescape(heading), ""]
        row = r'<th scope="row"><bdi>(.*?)</bdi></th><td class="sum"[^>]*>(.*?)</td><td[^>]*>(.*?)</td>'
        for what, expression, value in re.findall(row, body, re.DOTALL):
            lines += [
                f"  {html.unescape(what)}",
                f"      {html.unescape(expression)} = {html.unescape(value)}",
            ]
    by_hand = html.unescape(re.search(r'<pre class="by-hand">(.*?)</pre>', part, re.DOTALL)[1])
    return "\n".join([*lines, "", by_hand, "", "Void if anything differs"])


MORE = [pytest.param(which, marks=pytest.mark.slow) for which in range(len(MADE)) if which != 1]


@pytest.mark.parametrize("which", [None, 1, *MORE])
def test_who_has_the_engineers_file_alone_comes_to_every_demand_and_capacity(capsys, tmp_path, which):
    pytest.importorskip("jinja2")
    pytest.importorskip("matplotlib")
    wall = EXAMPLES / "short-wall-braced.toml" if which is None else written(tmp_path / "wall.toml", which)
    made = tmp_path / "engineer.html"
    run(capsys, "sheet", wall, "--gust", "20", "--part", "engineer", "-o", made)
    text = as_printed(made.read_text(encoding="utf-8"))
    results, demands = rehearsed(text)
    assert results > 100
    assert demands > 10
    printed = rehearsed(run(capsys, "trace", wall, "--gust", "20").out)
    assert (results, demands >= printed[1]) == (printed[0], True)
    number = re.search(r"  R B1: ([0-9.]+) ", text)  # a slip in it is found
    with pytest.raises(SlipError):
        rehearsed(f"{text[: number.start(1)]}{float(number[1]) * 1.01:.7g}{text[number.end(1) :]}")


SLIPS_BY_HAND = (
    (r"^    B1 +(-?[0-9.]+) ", "state 1"),  # of F
    (r"L along Z1: (-?[0-9.]+) ", "state 1"),
    (r"^  R B2: (-?[0-9.]+) ", "state 1"),
    (r"^  Top plate to stud at .*\n(?:.*\n)*?      demand: \(?(-?[0-9.]+)", "demand"),  # what the loads give
    (r"^  Stud shear at .*\n(?:.*\n)*?.*?(-?[0-9.]+)\)? R B3 of", "demand"),  # a lever or share
    (r"^Plate shear at (?:.*\n)*?  Force at a gust(?:.*\n)*?      ([0-9.]+) \+ ", "Plate shear at"),
    (r"^Stud shear at (?:.*\n)*?      2 × ([0-9.]+) × ", "Stud shear at"),  # what it may carry
    (r"^Stud shear at (?:.*\n)*?      √\(\(([0-9.]+) - ", "Stud shear at"),
)


@pytest.mark.parametrize(("what", "said"), SLIPS_BY_HAND, ids=range(len(SLIPS_BY_HAND)))
def test_a_slip_put_in_by_hand_is_found(capsys, what, said):
    """One number of the page is made a hundredth greater."""
    page = run(capsys, "trace", EXAMPLES / "short-wall-braced.toml", "--gust", "20").out
    found = re.search(what, page[: page.index("Void if")], re.MULTILINE)
    slipped = f"{page[: found.start(1)]}{float(found[1]) * 1.01:.7g}{page[found.end(1) :]}"
    rehearsed(page)
    with pytest.raises(SlipError, match=said):
        rehearsed(slipped)
