"""A forecast in sentences: read hour by hour, the strongest wind of a part of a day in all of it, nothing guessed.

Every text is of our own making, in the forms that offices of the weather write for the public.
"""

from __future__ import annotations

import pytest

from tests.cli.running import run, said
from tests.storm_walls import WALLS

PLACE = ("--zone", "America/Chicago", "--budget", "0")
NOW = ("--now", "2026-03-06 14:20")  # a Friday
RATIO = 1.53  # the published ratio of a gust to the mean


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    return path


def asked(capsys, tmp_path, wall, text, *options, now=NOW, json=True):
    path = tmp_path / "forecast.txt"
    path.write_text(text, encoding="utf-8")
    return run(
        capsys, "storm", wall, "--forecast", path, *now, *PLACE, *options, *(("--json",) if json else ())
    )


def spells(answer):
    """Runs of hours of one wind: from, to, the gust planned for, thunder."""
    found = []
    for row in answer["hours"]:
        same = (round(row["gust_mph"], 1), row["thunderstorm"])
        if found and found[-1][2:] == same and found[-1][1] == row["from"][5:16]:
            found[-1] = (found[-1][0], row["to"][5:16], *same)
        else:
            found.append((row["from"][5:16], row["to"][5:16], *same))
    return found


TWO = [
    ("03-06T18:00", "03-07T06:00", 45.0, False),
    ("03-07T06:00", "03-07T18:00", 58.0, True),  # 15 mph, and any chance of thunder plans for 58
]
FORMS = {
    "all in one line": (
        "Tonight ... southwest winds 20 to 25 mph, with gusts as high as 45 mph. Saturday ... a chance of "
        "thunderstorms. West winds 10 to 15 mph."
    ),
    "a head by itself": (
        "Tonight\nPartly cloudy, low around 40. Southwest wind 20 to 25 mph, with gusts as high as 45 mph.\n\n"
        "Saturday\nA chance of showers and thunderstorms. High near 60. West wind 10 to 15 mph.\n"
    ),
    "a dot before the head, lines broken anywhere": (
        "Valley and foothills\n\n.TONIGHT...Breezy. Lows 30 north to 40 south. Southwest winds 20 to\n25 mph. Gusts up "
        "to 45\nmph until\nmidnight.\n.SATURDAY...A slight chance of thunderstorms in the\nafternoon. West winds 10 to "
        "15 mph.\n"
    ),
    "a colon, gusts in a sentence of their own": (
        "Tonight: Mostly cloudy. South wind 10 to 15 mph becoming southwest 20 to 25 mph after midnight. Winds could "
        "gust as high as 45 mph.\nSaturday: Scattered thunderstorms. West wind around 15 mph.\n"
    ),
    "a tab, in knots once above": (
        "Winds in mph\nTonight\tSW 25 gusting to 45\nSaturday\tTSTMS likely, W 15\n"
    ),
}  # fmt: skip


@pytest.mark.parametrize("form", FORMS)
def test_parts_of_days_are_hours(capsys, tmp_path, wall, form):
    ran = asked(capsys, tmp_path, wall, FORMS[form])
    assert ran.out, ran.err
    assert spells(ran.json) == TWO


@pytest.mark.parametrize(
    ("words", "gust"),
    [
        # The later and stronger wind has no gust: its own counts, times the ratio.
        ("Southwest winds 10 mph with gusts to 20 mph, increasing to 30 mph after midnight.", 30 * RATIO),
        ("Southwest winds 30 mph with gusts to 44 mph, diminishing to 10 mph after midnight.", 44),
        ("South winds 5 to 10 mph increasing to 20 to 25 mph with gusts to 35 mph.", 35),
        ("South winds 25 mph. Gusts to 20 mph.", 25 * RATIO),  # no gust is under its wind
        ("Winds 10 to 20 mph, except gusts to 50 mph near the ridges.", 50),
        ("Southwest winds 20 to 25 knots with gusts to 40 knots.", 40 * 1.150779),
        ("Wind 25 to 40 km/h, gusts to 60 km/h.", 60 / 1.609344),
        ("Light winds.", 7 * RATIO),
        ("Calm wind in the evening, becoming south 12 mph.", 12 * RATIO),
        ("West wind 20 mph. Some storms may bring damaging winds of 70 mph.", 70),
        ("Lows 25 east to 45 west. Wind chill as low as 15 below. Chance of rain 90%. South winds 10 mph.", 10 * RATIO),
    ],
)  # fmt: skip
def test_the_strongest_of_a_part_counts(capsys, tmp_path, wall, words, gust):
    ran = asked(capsys, tmp_path, wall, f"Tonight: {words}")
    assert ran.out, ran.err
    assert [row["gust_mph"] for row in ran.json["hours"]] == [pytest.approx(gust, abs=0.01)] * 12


def test_what_has_no_speed_is_left_out_and_its_hours_not_covered(capsys, tmp_path, wall):
    text = (
        "Tonight: South winds 20 mph. Saturday: Windy. Saturday night: Clear. "
        "Sunday: West winds 15 mph with gusts to 30 mph."
    )
    ran = asked(capsys, tmp_path, wall, text)
    assert spells(ran.json) == [
        ("03-06T18:00", "03-07T06:00", 30.6, False),
        ("03-08T06:00", "03-08T18:00", 30.0, False),
    ]
    notes = " ".join(map(said, ran.json["forecast"]["notes"]))
    assert "NOT COVERED: Sat Mar 7, 6 am until Sun Mar 8, 6 am" in notes
    assert "no wind is said of: saturday; saturday night" in notes
    assert "Windy." in notes
    page = said(asked(capsys, tmp_path, wall, text, json=False).out)
    assert "NOT COVERED: Sat Mar 7, 6 am until Sun Mar 8, 6 am" in page


def test_several_days_at_once_and_a_week_on(capsys, tmp_path, wall):
    text = (
        "Tonight South winds 15 mph gusts 25 mph. Saturday through Sunday night: West winds 20 mph gusts 35 mph. "
        "Friday: Gusts to 30 mph."
    )
    ran = asked(capsys, tmp_path, wall, text)
    assert spells(ran.json) == [
        ("03-06T18:00", "03-07T06:00", 25.0, False),
        ("03-07T06:00", "03-09T06:00", 35.0, False),
        ("03-13T06:00", "03-13T18:00", 30.0, False),
    ]


@pytest.mark.parametrize(
    ("now", "made", "first"),
    [
        ("2026-03-06 14:20", "", "03-06T18:00"),
        ("2026-03-07 02:00", "", "03-06T18:00"),  # in the small hours tonight is what is left of the night
        ("2026-03-06 23:30", "345 PM CST Thu Mar 5 2026\n\n", None),  # last night, and over
        ("2026-03-06 04:00", "3:45 pm CST Mar 5, 2026\n\n", "03-05T18:00"),
    ],
)
def test_days_are_counted_from_when_it_was_made(capsys, tmp_path, wall, now, made, first):
    ran = asked(
        capsys,
        tmp_path,
        wall,
        f"{made}Tonight: South winds 20 mph with gusts to 40 mph.\n",
        now=("--now", now),
    )
    if first is None:
        assert ran.status == 2
        assert "has not run out" in ran.err
        return
    starts = [row["from"][5:16] for row in ran.json["hours"]]
    assert first <= starts[0]
    assert starts[-1][:5] == f"03-{int(first[3:5]) + 1:02}"
    assert starts[-1].endswith("05:00")


def test_the_night_the_clocks_go_forward_has_one_hour_less(capsys, tmp_path, wall):
    ran = asked(capsys, tmp_path, wall, "Saturday night: Gusts to 40 mph.")
    assert len(ran.json["hours"]) == 11


@pytest.mark.parametrize(
    ("text", "named"),
    [
        (".TONIGHT...Gusts to 40 mph.\n.NEW YEARS DAY...Gusts to 60 mph.\n", "NEW YEARS DAY"),
        ("Gusts to 60 mph on the ridges.\nTonight: South winds 20 mph.\n", "Gusts to 60 mph"),
        ("345 PM EST Fri Mar 6 2026\nTonight: Gusts to 40 mph.\n", "EST"),
        ("Saturday: Gusts to 40 mph.\nTonight: Gusts to 30 mph.\n", "in their order"),
        ("Tonight: Winds 20 to 25, gusts to 40.\n", "its unit"),
        ("Saturday, March 8: Gusts to 40 mph.\n", "Mar 7"),
        ("Tonight: Gusts to 900 mph.\n", "900"),
    ],
)
def test_what_is_of_no_known_time_or_unit_is_refused(capsys, tmp_path, wall, text, named):
    ran = asked(capsys, tmp_path, wall, text, json=False)
    assert (ran.status, ran.out) == (2, "")
    assert named in said(ran.err)
    assert "Traceback" not in ran.err


def test_a_unit_said_beside_it_is_taken(capsys, tmp_path, wall):
    ran = asked(capsys, tmp_path, wall, "Tonight: Winds 20 to 25, gusts to 40.\n", "--unit", "kt")
    assert ran.json["hours"][0]["gust_mph"] == pytest.approx(40 * 1.150779, abs=0.01)
    assert asked(capsys, tmp_path, wall, "Tonight: Gusts to 40 mph.", "--columns", "gust=x").status == 2


def test_hours_under_a_day_stay_a_table(capsys, tmp_path, wall):
    ran = asked(capsys, tmp_path, wall, "Tonight\n9 pm S 15 G 28 mph\n10 pm S 18 G 32 mph\n")
    assert [row["gust_mph"] for row in ran.json["hours"]] == [28.0, 32.0]
