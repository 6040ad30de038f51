"""`bracing chance`: limits before every number, a range beside each, no verdict, and plain refusals."""

from __future__ import annotations

import csv
import re

import pytest

import bracing.chance.draws as drawing
from tests.cli.running import EXAMPLES, run, said

WALL = EXAMPLES / "short-wall-braced.toml"
MOMENT = ("--now", "2026-03-06 12:00", "--zone", "America/Chicago")
VERDICTS = re.compile(r"\b(?:within|over its|safe|holds|good for|ok)\b", re.IGNORECASE)


@pytest.fixture(autouse=True)
def few_draws(monkeypatch):
    """Four thousand are enough for what is held here; the laws are held over all hundred thousand."""
    monkeypatch.setattr(drawing, "DRAWS", 4000)


def wall_with(tmp_path, *, site="", was=(), name="wall.toml"):
    """The example with more of its site, and other words in the place of some."""
    text = WALL.read_text(encoding="utf-8").replace("[kit]", f"{site}\n[kit]", 1)
    for before, after in was:
        assert before in text
        text = text.replace(before, after, 1)
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_limits_stand_before_every_chance_and_there_is_no_verdict(capsys):
    ran = run(capsys, "chance", WALL, "--gust", "45", *MOMENT)
    assert ran.status == 0  # at a gust far over its limit
    limit = run(capsys, "check", WALL, "--json").json
    lines = ran.out.splitlines()
    first = f"Clear out before {limit['clear_out_gust_mph']} mph; limit gust {limit['limit_gust_mph']} mph."
    assert lines[1].startswith(first)
    assert "Nothing below moves either." in lines[1]
    assert not VERDICTS.search(ran.out)
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80
    for words in (
        "first link",
        "brace line goes",
        "B3 gone",
        "1 joint in 20 missed",
        "Left out: thunderstorms",
    ):
        assert words in ran.out
    assert "21 nights, 115 mph: line goes, at least" in said(ran.out)
    assert re.search(r"at least one night in \d+", said(ran.out))


def test_every_number_of_the_json_has_its_range_and_is_what_the_text_says(capsys):
    words = ("chance", WALL, "--gust", "45", *MOMENT)
    answer, text = run(capsys, *words, "--json").json, said(run(capsys, *words).out)
    shares = [answer["tonight"]["line"], answer["weeks"]["line"]]
    for curve in answer["curves"]:
        shares += [curve["first"], curve["line"], curve["missed"], *curve["gone"].values()]
        assert curve["first"]["chance"] >= curve["line"]["chance"]
        assert curve["missed"]["chance"] >= curve["line"]["chance"]
        assert curve["bounds"]["independent"] >= curve["bounds"]["full"]
    for share in shares:
        assert 0.0 <= share["low"] <= share["chance"] <= share["high"] <= 1.0
        assert share["counted_low"] <= share["chance"] <= share["counted_high"]
    assert [curve["gust_mph"] for curve in answer["curves"]] == sorted(
        {c["gust_mph"] for c in answer["curves"]}
    )
    line = answer["tonight"]["line"]
    printed = "{:.0f} ({:.0f}-{:.0f})".format(*(100.0 * line[key] for key in ("chance", "low", "high")))
    assert f"Line goes, {printed} of 100" in text
    assert "verdict" not in answer


def test_the_same_file_gives_the_same_bytes(capsys, tmp_path):
    words = ("chance", WALL, "--gust", "45", "--json", *MOMENT)
    first, second = (run(capsys, *words, "--svg", tmp_path / f"{k}.svg") for k in (1, 2))
    assert first.out == second.out
    drawn = (tmp_path / "1.svg").read_bytes()
    assert drawn == (tmp_path / "2.svg").read_bytes()
    inks = set(re.findall(rb"(?:stroke|fill): ?(#[0-9a-f]+)", drawn))
    assert inks <= {b"#000000", b"#ffffff"}
    refused = run(capsys, *words, "--svg", tmp_path / "1.svg")
    assert refused.status == 2
    assert "--svg" in refused.out + refused.err


def test_a_higher_gust_is_never_less_likely_to_take_it(capsys):
    found = [
        run(capsys, "chance", WALL, "--gust", gust, "--json", *MOMENT).json["tonight"]["line"]["chance"]
        for gust in (25, 40, 60)
    ]
    assert found == sorted(found)
    assert found[0] < found[-1]


def test_thunderstorms_leave_tonight_without_a_chance(capsys):
    answer = run(capsys, "chance", WALL, "--gust", "45", "--storms", "--json", *MOMENT).json
    assert answer["tonight"] is None
    assert answer["curves"]
    assert any("thunderstorm" in why for why in answer["why_not"])


def test_weeks_need_a_speed_and_a_time_and_none_are_given_on_a_hurricane_coast(capsys, tmp_path):
    for was, words in (
        (('design_speed = "115 mph"', ""), "design speed"),
        (('stands = "3 weeks"', ""), "how long it stands"),
        (('design_speed = "115 mph"', 'design_speed = "130 mph"'), "hurricanes"),
    ):
        answer = run(capsys, "chance", wall_with(tmp_path, was=[was]), "--json", *MOMENT).json
        assert answer["weeks"] is None
        assert any(words in why for why in answer["why_not"])
        assert answer["curves"]


def test_part_of_a_day_is_a_night_more(capsys, tmp_path):
    path = wall_with(tmp_path, was=[('stands = "3 weeks"', 'stands = "36 hours"')])
    assert run(capsys, "chance", path, "--json", *MOMENT).json["weeks"]["nights"] == 2


def test_a_wall_that_can_move_has_no_chance_and_a_clear_out_gust_of_nothing(capsys, tmp_path):
    text = WALL.read_text(encoding="utf-8")
    path = tmp_path / "one.toml"
    path.write_text(text[: text.index("[[brace]]", text.index("[[brace]]") + 1)], encoding="utf-8")
    ran = run(capsys, "chance", path, "--gust", "45", *MOMENT)
    assert ran.status == 0
    assert "Clear out before 0 mph; limit gust 0 mph." in ran.out
    assert "No chance is given: the wall can move" in said(ran.out)
    assert run(capsys, "chance", path, "--json", *MOMENT).json["curves"] == []


def test_a_wall_that_stood_what_these_sums_disbelieve_gets_no_figure_and_surviving_lowers_none(capsys):
    before = run(capsys, "chance", WALL, "--gust", "45", "--json", *MOMENT).json
    stood = run(capsys, "chance", WALL, "--gust", "45", "--has-stood", "30", "--json", *MOMENT).json
    assert stood["curves"] == before["curves"]
    assert stood["tonight"] == before["tonight"]
    none = run(capsys, "chance", WALL, "--gust", "45", "--has-stood", "90", *MOMENT)
    assert none.status == 0
    assert "No chance is given: it stood 90 mph" in said(none.out)
    assert "Of 100 walls" not in none.out


def test_twenty_nights_read_at_the_site_take_the_place_of_the_published_peak(capsys, tmp_path):
    night = '[[site.night]]\nforecast = "30 mph"\nread = "{} mph"\n'
    few = wall_with(tmp_path, site=night.format(24) * 19, name="few.toml")
    many = wall_with(tmp_path, site=night.format(24) * 20, name="many.toml")
    published, own = (
        run(capsys, "chance", path, "--gust", "45", "--json", *MOMENT).json for path in (few, many)
    )
    assert published["tonight"]["nights_read"] == 0
    assert published["tonight"]["median_mph"] == pytest.approx(1.05 * 45.0, rel=1e-9)
    assert own["tonight"]["nights_read"] == 20
    assert own["tonight"]["median_mph"] == pytest.approx(0.8 * 45.0, rel=1e-6)
    assert own["tonight"]["line"]["chance"] < published["tonight"]["line"]["chance"]
    assert not own["weeks"]["at_least"]


def test_nails_driven_green_are_dried_from_the_fourth_day(capsys, tmp_path):
    fresh, dried = (
        run(
            capsys,
            "chance",
            wall_with(tmp_path, site=f'stood = "{day}"', name=f"{day}.toml"),
            "--json",
            *MOMENT,
        ).json
        for day in ("2026-03-05", "2026-03-03")
    )
    undated = run(capsys, "chance", WALL, "--json", *MOMENT).json
    assert [link["rate"] for link in dried["links"]] == [link["rate"] for link in undated["links"]]
    pulled = [
        {(k["link"], k["direction"], k["x_ft"]): k["rate"] for k in each["links"]} for each in (fresh, dried)
    ]
    weaker = [key for key in pulled[0] if key in pulled[1] and pulled[1][key] > 2.0 * pulled[0][key]]
    assert weaker  # what nails hold along themselves alone moves
    assert all("sheathing off" in key[0] or "plate" in key[0] for key in weaker)


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("--gust", "fast"), "--gust"),
        (("--has-stood", "hard"), "--has-stood"),
        (("--mends",), "--mends"),
        (("--gust", "45", "--mends", "--storms"), "--mends"),
        (("--unit", "mph"), "--unit"),
        (("--forecast", "none.txt"), "none.txt"),
    ],
)
def test_bad_input_is_one_line_and_status_2(capsys, words, field):
    ran = run(capsys, "chance", WALL, *words, *MOMENT)
    assert ran.status == 2
    assert field in ran.err
    assert ran.out == ""
    assert "Traceback" not in ran.err


def test_a_day_that_is_none_and_a_night_without_a_reading_are_refused_by_field(capsys, tmp_path):
    for site, field in (
        ('stood = "last Friday"', "site.stood"),
        ('[[site.night]]\nforecast = "30 mph"\n', "site.night"),
        ('[[site.night]]\nforecast = "30 mph"\nread = 24\nwind = 3\n', "site.night"),
    ):
        ran = run(capsys, "chance", wall_with(tmp_path, site=site), *MOMENT)
        assert ran.status == 2
        assert field in ran.err


def test_what_mends_buy_stands_beside_the_storm_ladder(capsys):
    answer = run(capsys, "chance", WALL, "--gust", "45", "--mends", "--json", *MOMENT).json
    storm = run(capsys, "storm", WALL, "--gust", "45", "--json", *MOMENT).json
    bought = answer["mends"]
    assert [rung["limit_gust_mph"] for rung in bought["rungs"]] == [
        rung["limit_gust_mph"] for rung in storm["ladder"]["rungs"]
    ]
    assert bought["brace"]["line"]["chance"] < answer["tonight"]["line"]["chance"]
    assert bought["walk"]["missed"]["chance"] == answer["tonight"]["line"]["chance"]
    assert bought["walk"]["missed"]["chance"] < answer["tonight"]["missed"]["chance"]


def test_no_chance_moves_a_limit(capsys):
    before = run(capsys, "check", WALL, "--gust", "30", "--json").out
    run(capsys, "chance", WALL, "--gust", "30", *MOMENT)
    assert run(capsys, "check", WALL, "--gust", "30", "--json").out == before


LIST = "name,file\nkitchen,short-wall-braced.toml\nbare,short-wall.toml\n"


def test_a_list_has_the_chance_of_each_of_its_walls(capsys, tmp_path):
    for name in ("short-wall-braced.toml", "short-wall.toml"):
        (tmp_path / name).write_text((EXAMPLES / name).read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "walls.csv").write_text(LIST, encoding="utf-8")
    words = ("walls", tmp_path / "walls.csv", "--gust", "45", "--workers", "1", "--now", "2026-03-06 12:00")
    run(capsys, *words)
    rows = list(csv.DictReader((tmp_path / "walls.checked.csv").read_text(encoding="utf-8").splitlines()))
    assert not any("of_100" in name for row in rows for name in row)
    run(capsys, *words, "--chance")
    rows = list(csv.DictReader((tmp_path / "walls.chances.csv").read_text(encoding="utf-8").splitlines()))
    text = said(run(capsys, "chance", WALL, "--gust", "45", *MOMENT).out)
    kitchen, bare = rows
    shown = f"{kitchen['tonight_of_100']} ({kitchen['tonight_low']}-{kitchen['tonight_high']})"
    assert (
        f"Line goes, {shown} of 100; one joint in twenty missed, {kitchen['tonight_missed_of_100']}" in text
    )
    weeks = f"{kitchen['weeks_of_100']} ({kitchen['weeks_low']}-{kitchen['weeks_high']})"
    missed = (
        f"{kitchen['weeks_missed_of_100']} ({kitchen['weeks_missed_low']}-{kitchen['weeks_missed_high']})"
    )
    assert f"line goes, at least {weeks} of 100; one joint in twenty missed, {missed}." in text
    assert (kitchen["weeks_at_least"], kitchen["no_chance"]) == ("yes", "")
    assert "can move" in bare["no_chance"]
    assert bare["weeks_at_least"] == ""
    assert bare["tonight_of_100"] == ""  # no brace: it can move, and there is no chance to give
    assert bare["clear_out_gust_mph"] == "0"
    again = run(capsys, *words, "--chance")
    assert "2 of them done before" in again.out
