"""The sheet carries the clear-out gust of a thunderstorm beside the ordinary one, and all that the braces need."""

import csv
import html
import re

import pytest

from tests.cli.running import EXAMPLES, WITHIN, run, said
from tests.sheet_walls import text_of

pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

STORMY = "long-wall"  # in a built-up place, where an outflow's gust is less slowed near the ground
NEEDED = (
    "studs 2x6, every 16 in, douglas fir-larch or denser, No.2 or better",
    "headers and sills 4 nails into each end, 16d common",
    "joists under the feet 2x10 or deeper, spanning no more than 15'-0\", douglas fir-larch or denser, No.2 or better",
    "brace stock douglas fir-larch or denser, No.2 or better",
    "a strap or screws from top plate to each braced stud, allowable 600 lb",
    "a second stud full height at B1, on the side away from the brace",
    "a second 2x4 along B2, edge to its face as a T",
    "1 tie row fastened at every brace and run to a diagonal at both ends",
    "to the floor in the braces' plane",
    "solid 2x10 blocks between joists",
)


def page_of(capsys, path, *words):
    out = path.with_suffix(".html")
    ran = run(capsys, "sheet", path, "--budget", 0, "--overwrite", "-o", out, *words)
    assert ran.status in (1, *WITHIN), ran.err
    return ran, said(html.unescape(re.sub(r"<[^>]*>", " ", out.read_text(encoding="utf-8"))))


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "wall.toml"
    text = text_of(STORMY)
    first, second = '\nmark = "B1"\n', '\nmark = "B2"\n'
    text = text.replace(first, f"{first}stud_doubled = true\n").replace(second, f'{second}stiffener = "T"\n')
    path.write_text(text, encoding="utf-8")
    return path


def clear_outs(capsys, path):
    """Without and with thunderstorms, as check says them."""
    words = ((), ("--gust", 20, "--storms"))
    return [run(capsys, "check", path, *each, "--json").json["clear_out_gust_mph"] for each in words]


def test_the_thunderstorms_clear_out_stands_beside_the_ordinary_one(capsys, wall):
    out, storm = clear_outs(capsys, wall)
    assert storm < out
    ran, page = page_of(capsys, wall)
    told = f"With thunderstorms in the forecast: {storm} mph"
    assert told in ran.out
    head, _, rest = page.partition("Limit gust:")
    assert f"CLEAR OUT before a forecast gust of {out} mph" in head
    assert told in head
    assert f"Clear out before {out} mph. {told}. Do not remove a brace." in rest
    assert 20 < storm <= 25 < out <= 30  # the gusts of the ladder each side of both
    for gust, people in ((20, "under the clear-out gust"), (25, "out where thunderstorms are forecast")):
        assert re.search(f"{gust} mph within (within|over) {people}", page)
    assert re.search("30 mph within (within|over) out of the zone", page)


def test_json_and_the_spreadsheet_have_it_too(capsys, wall):
    out, storm = clear_outs(capsys, wall)
    told = page_of(capsys, wall, "--json")[0].json
    assert (told["clear_out_gust_mph"], told["clear_out_gust_with_storms_mph"]) == (out, storm)
    table = wall.with_suffix(".csv")
    run(capsys, "sheet", wall, "--budget", 0, "-o", table)
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert {row["clear-out mph with thunderstorms"] for row in rows} == {str(storm)}


def test_the_index_of_a_folder_has_it(capsys, wall, tmp_path):
    _, storm = clear_outs(capsys, wall)
    out = tmp_path / "out"
    ran = run(capsys, "sheet", tmp_path, "--no-pdf", "--budget", 0, "-o", out, "--json")
    assert ran.json["walls"][0]["clear_out_gust_with_storms_mph"] == storm
    told = f"With thunderstorms in the forecast: {storm} mph"
    assert told in (out / "index.html").read_text(encoding="utf-8")


def test_a_sheet_for_thunderstorms_has_one_clear_out_and_it_is_theirs(capsys, wall):
    _, storm = clear_outs(capsys, wall)
    ran, page = page_of(capsys, wall, "--gust", 20, "--storms")
    assert f"CLEAR OUT before a forecast gust of {storm} mph" in page
    assert "With thunderstorms in the forecast" not in page + ran.out
    told = page_of(capsys, wall, "--gust", 20, "--storms", "--json")[0].json
    assert told["clear_out_gust_with_storms_mph"] == storm


def test_braces_on_file_say_all_they_need_beside_them(capsys, wall):
    ran, page = page_of(capsys, wall, "--json")
    assert [each for each in NEEDED if each not in page] == []
    assert [each for each in NEEDED if not any(each in line for line in ran.json["needed_too"])] == []
    bought = {item["what"]: item["count"] for item in ran.json["buy"]}
    assert bought["strap, top plate to stud, allowable 600 lb"] == 8
    for what, count in bought.items():
        assert f"{what} : {count}" in page


def test_what_nobody_declared_is_not_told_as_needed(capsys, tmp_path):
    """Only assumed: the sheet lists it so, and not among what somebody asked for."""
    path = tmp_path / "wall.toml"
    path.write_text(text_of(STORMY).replace(', span = "15 ft"', ""), encoding="utf-8")
    _, page = page_of(capsys, path)
    assert "spanning no more than" not in page
    assert "floor.joists.span" in page


def test_a_plan_says_the_same_before_and_after_it_is_in_its_file(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text((EXAMPLES / "short-wall.toml").read_text(encoding="utf-8"), encoding="utf-8")
    laid = page_of(capsys, path, "--gust", 40, "--json")[0].json
    run(capsys, "layout", path, "--gust", 40, "--budget", 0, "--write")
    filed = page_of(capsys, path, "--gust", 40, "--json")[0].json
    assert filed["plan"] is None
    assert filed["needed_too"] == laid["needed_too"]
    assert len(filed["needed_too"]) > 8
