"""Two whole walls worked by hand (docs/hand) hold the program, link by link.

Each page has the wall file, a table of brace forces by case and a table of links. Numbers are read as printed; the
tolerance is half of their last digit, but for bending of studs, where the page says why.
"""

import re
from functools import cache
from pathlib import Path

import pytest

from bracing.check import check
from bracing.reading.jobs import job_from_text
from tests.approx import printed

PAGES = {name: Path(f"docs/hand/{name}.md") for name in ("level-wall", "gable")}
GUST = 40.0
FOLLOWED = 110.0  # the pages leave out what is reached past this gust
STRAIGHT = {"level-wall": (0.0, 0.02), "gable": (0.0025, 0.02)}  # how far under and over the hand, of bending
CURVED = 0.0025  # under a sloping top the program straightens the load along a stud
BY_CURVE = ("stud splitting at the head", "stud shear")


@cache
def page(name):
    return PAGES[name].read_text(encoding="utf-8")


@cache
def checked(name):
    file = re.search(r"```toml\n(.*?)```", page(name), re.DOTALL)[1]
    return check(job_from_text(file, f"{name}.toml"), gust=GUST, effects=False)


def table(name, first):
    """Rows of the table whose head starts with some words."""
    lines = page(name).splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith(f"| {first}"))
    rows = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def place(link):
    if link.mark is not None:
        return link.mark
    return "" if link.x is None else f"{link.x:g} in"


def found(name, kind, direction, at):
    links = [
        link for link in checked(name).evaluation.links if link.link == kind and link.direction == direction
    ]
    here = [link for link in links if not at or place(link) == at]
    assert here, f"{kind} at {at or 'all'} is not in the program's chain"
    return min(here, key=lambda link: link.limit_gust)


def link_rows():
    return [
        pytest.param(
            name, kind, direction, at, *numbers, id=f"{name}: {kind}, {direction} {at}".replace(" ", "-")
        )
        for name in PAGES
        for kind, wind, at, *numbers in table(name, "link |")
        for direction in (("push", "pull") if wind == "either" else (wind,))
    ]


@pytest.mark.parametrize(("name", "kind", "direction", "at", "carries", "may", "limit"), link_rows())
def test_a_link_is_as_worked_by_hand(name, kind, direction, at, carries, may, limit):
    link = found(name, kind, direction, at)
    assert link.capacity == printed(may)
    if kind == "stud bending with lift":
        assert link.demand == pytest.approx(float(carries), rel=STRAIGHT[name][1] / 2.0)
        assert link.limit_gust == pytest.approx(float(limit), rel=STRAIGHT[name][1] / 2.0)
        return
    if name == "gable" and kind in BY_CURVE:
        assert link.demand == pytest.approx(float(carries), rel=CURVED)
        assert link.limit_gust == pytest.approx(float(limit), rel=CURVED)
        return
    assert link.demand == printed(carries)
    assert link.limit_gust == printed(limit)


def stud_rows():
    return [
        pytest.param(name, *row, id=f"{name}: {row[0]}".replace(" ", "-"))
        for name in PAGES
        for row in table(name, "stud at")
    ]


@pytest.mark.parametrize("direction", ["push", "pull"])
@pytest.mark.parametrize(("name", "at", "bent", "may", "limit"), stud_rows())
def test_a_stud_is_bent_as_by_hand_and_read_no_lower(name, direction, at, bent, may, limit):
    x = float(at.removesuffix(" in"))
    link = next(
        link for link in checked(name).evaluation.links
        if (link.link, link.direction, link.x) == ("stud bending", direction, x)
    )  # fmt: skip
    by_hand = float(bent.replace(",", ""))
    less, more = STRAIGHT[name]
    assert by_hand * (1.0 - less) - 0.5 <= link.demand <= by_hand * (1.0 + more) + 0.5
    assert link.capacity == printed(may)
    assert float(limit) * (1.0 - more) <= link.limit_gust <= float(limit) * (1.0 + less) + 0.05


@pytest.mark.parametrize("name", PAGES)
def test_every_link_the_program_counts_is_on_the_page(name):
    said = {(kind, at) for kind, _, at, *_ in table(name, "link |")}
    said |= {("stud bending", at) for at, *_ in table(name, "stud at")}
    anywhere = {kind for kind, at in said if not at}
    for link in checked(name).evaluation.links:
        if link.limit_gust < FOLLOWED - 1.0 and link.demand > 0.0:
            at = f"{link.x:g} in" if link.link == "stud bending" else place(link)
            assert link.link in anywhere or (link.link, at) in said, link


@pytest.mark.parametrize("name", PAGES)
def test_braces_carry_what_statics_says(name):
    result = checked(name)
    loads = result.to_dict()["loads"]["cases"]
    for case, *forces in table(name, "case | B1"):
        rows = [row for row in loads if row["case"] == case]
        assert {row["direction"] for row in rows} == {"push", "pull"}
        for row in rows:
            sign = 1.0 if row["direction"] == "push" else -1.0
            for brace, force in zip(result.job.braces, forces, strict=True):
                assert sign * row["brace_horizontal_lb"][brace.mark] == printed(force), (case, brace.mark)


@pytest.mark.parametrize("name", PAGES)
def test_the_answer_is_the_one_on_the_page(name):
    result = checked(name)
    kind, wind, at = re.search(r"The least is (.+) in (push|pull) at (B\d)", page(name)).groups()
    limit, clear = re.search(
        r"Limit gust (\d+) mph, rounded down; clear-out (?:0.85 of it, )?(\d+)", page(name)
    ).groups()
    first = result.gives_first
    assert (first.link, first.direction, first.mark) == (kind, wind, at)
    assert (result.limit_whole, result.clear_out, result.one_missing) == (int(limit), int(clear), 0)
    assert result.one_lost is not None
    assert result.one_lost[0] == 0
    assert result.verdict == "over"
