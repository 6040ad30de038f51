"""A forecast as people have it: pasted in a dozen forms, or a page of an open form, read the same and said back.

The wind of every form is one night of our own making: a Friday, 3 to 6 pm, S 15 G 28, S 18 G 32, SW 20 G 38 with
thunderstorms about, S 12 without a gust. What is asked is the wind planned for, as the command says it.
"""

from __future__ import annotations

import io
import json

import pytest

from tests.cli.running import run, said
from tests.storm_walls import WALLS

WHEN = ("--now", "2026-03-06 14:20", "--zone", "America/Chicago", "--budget", "0")
LAST = 12 * 1.53  # no gust in the last hour: the published ratio of a gust to the mean


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    return str(path)


def asked(capsys, tmp_path, wall, text, *options):
    path = tmp_path / "forecast.txt"
    path.write_text(text, encoding="utf-8")
    return run(capsys, "storm", wall, "--forecast", path, *WHEN, *options, "--json")


def wind(answer):
    return [(row["from"][5:16], round(row["gust_mph"], 2), row["thunderstorm"]) for row in answer["hours"]]


NIGHT = [
    ("03-06T15:00", 28.0, False),
    ("03-06T16:00", 32.0, False),
    ("03-06T17:00", 58.0, True),  # 38, and thunderstorms plan for no less than 58
    ("03-06T18:00", pytest.approx(LAST, abs=0.01), False),
]
FORMS = {
    "an hour to a line": """
3 pm S 15 G 28 mph
4 pm S 18 G 32 mph
5 pm SW 20 G 38 mph chance T-storms
6 pm S 12 mph
""",
    "with the day, in small letters, gusts in words": """
Hourly forecast, wind in mph
fri 3pm  south 15, gusts to 28    partly cloudy 71°
fri 4pm  south 18, gusts up to 32 cloudy 70°
fri 5pm  southwest 20, gusting to 38, scattered thunderstorms 66°
fri 6pm  south 12   clearing 60°
""",
    "the unit once, above": """
Wind and gusts (mph)
3 p.m.: S 15 G28
4 p.m.: S 18 G32
5 p.m.: SW 20 G38, tstms
6 p.m.: S 12
""",
    "a cell to a line, as a phone copies it": """
Friday, March 6
3 PM
71°
Partly Cloudy
S 15 mph
G 28 mph
4 PM
70°
Cloudy
S 18 mph
G 32 mph
5 PM
66°
Thunderstorms
SW 20 mph
G 38 mph
6 PM
60°
Cloudy
S 12 mph
""",
    "two blanks between columns": """
Time     Temp   Wind        Gust      Conditions
3:00 PM  71 F   S 15 mph    28 mph    Partly cloudy
4:00 PM  70 F   S 18 mph    32 mph    Cloudy
5:00 PM  66 F   SW 20 mph   38 mph    Isolated t-storms
6:00 PM  60 F   S 12 mph    --        Cloudy
""",
    "tabs between columns, a heading over them": (
        "Springfield, hour by hour\n\n"
        "Time\tTemp\tWind (mph)\tGust (mph)\tThunder\n"
        "Fri 3 pm\t71\t15\t28\t--\n"
        "Fri 4 pm\t70\t18\t32\t--\n"
        "Fri 5 pm\t66\t20\t38\tSChc\n"
        "Fri 6 pm\t60\t12\t\t\n"
    ),
    "hours across, by tabs": (
        "Date\t03/06\t\t\t\n"
        "Hour (CST)\t15\t16\t17\t18\n"
        "Temperature (°F)\t71\t70\t66\t60\n"
        "Surface Wind (mph)\t15\t18\t20\t12\n"
        "Wind Dir\tS\tS\tSW\tS\n"
        "Gust\t28\t32\t38\t\n"
        "Sky Cover (%)\t40\t70\t95\t80\n"
        "Thunder\t--\t--\tLkly\t--\n"
        "Rain\t--\tSChc\tLkly\tChc\n"
    ),
    "hours across, a blank between": """
Date 03/06
Hour (CST) 15 16 17 18
Temperature (°F) 71 70 66 60
Surface Wind (mph) 15 18 20 12
Wind Dir S S SW S
Gust 28 32 38 --
Thunder -- -- Def --
""",
    "hours across, in two blocks": (
        "Hour (CST)\t3 pm\t4 pm\n"
        "Surface Wind (mph)\t15\t18\n"
        "Gust\t28\t32\n"
        "Thunder\t--\t--\n"
        "Hour (CST)\t5 pm\t6 pm\n"
        "Surface Wind (mph)\t20\t12\n"
        "Gust\t38\t--\n"
        "Thunder\tChc\t--\n"
    ),
    "bars, and days with dates": """
| Time           | Wind    | Gust   | Weather          |
| Fri 3/6 3 PM   | S 15    | 28 mph | Fair             |
| Fri 3/6 4 PM   | S 18    | 32 mph | Fair             |
| Fri 3/6 5 PM   | SW 20   | 38 mph | Chance of storms |
| Fri 3/6 6 PM   | S 12    | -      | Fair             |
""",
    "commas, a day and an hour in two columns": (
        "date,time,wind [mph],gust [mph],thunder\n"
        "3/6,15:00,15,28,--\n3/6,16:00,18,32,--\n3/6,17:00,20,38,Chc\n3/6,18:00,12,--,--\n"
    ),
    "wind and gust in one cell": (
        "Time,Wind,Weather\n"
        "3 pm,S 15 G 28 mph,Fair\n4 pm,S 18 G 32 mph,Fair\n5 pm,SW 20 G 38 mph,T-storms\n6 pm,S 12 mph,Fair\n"
    ),
    "ranges: the higher counts": """
3 pm - 4 pm  S 10 to 15 mph, gusts 20 to 28 mph
4 pm - 5 pm  S 10-18 mph, gusts 25-32 mph
5 pm - 6 pm  SW 15 to 20 mph, gusts between 30 and 38 mph, squalls
6 pm - 7 pm  S 8 to 12 mph
""",
    "dates written out": """
Mar 6 15:00  S 15 G 28 mph
Mar 6 16:00  S 18 G 32 mph
March 6, 17:00  SW 20 G 38 mph  thunder
2026-03-06 18:00  S 12 mph
""",
}


@pytest.mark.parametrize("name", FORMS)
def test_a_pasted_form_gives_the_wind_in_it(capsys, tmp_path, wall, name):
    ran = asked(capsys, tmp_path, wall, FORMS[name])
    assert ran.status in (0, 1, 4), ran.err
    assert wind(ran.json) == NIGHT
    assert ran.json["forecast"]["understood"].startswith("Read as 4 rows, Fri Mar 6, 3 pm to Fri Mar 6, 7 pm")


def test_it_is_said_back_in_a_line(capsys, tmp_path, wall):
    path = tmp_path / "forecast.txt"
    path.write_text(FORMS["an hour to a line"], encoding="utf-8")
    out = said(run(capsys, "storm", wall, "--forecast", path, *WHEN).out)
    assert (
        "Read as 4 rows, Fri Mar 6, 3 pm to Fri Mar 6, 7 pm, America/Chicago: gusts of 28 to 38 mph in 3; no gust "
        "in 1, so 1.53 times their wind of 12 mph; thunderstorms in 1." in out
    )


def test_it_can_be_pasted_into_the_command(capsys, monkeypatch, wall):
    """What was pasted is not there again for the next command: that names a file to put it into."""
    words = ["storm", wall, "--forecast", "-", *WHEN[:-1], "5"]
    pasted = io.TextIOWrapper(io.BytesIO(FORMS["an hour to a line"].encode()))
    monkeypatch.setattr("sys.stdin", pasted)
    monkeypatch.setattr("sys.argv", ["bracing", *words])
    out = said(run(capsys, *words).out)
    assert "Read as 4 rows" in out
    assert "--forecast -" not in out
    assert "--forecast forecast.txt" in out


def test_a_night_runs_on_past_midnight(capsys, tmp_path, wall):
    text = "".join(
        f"{hour} G {gust} mph\n" for hour, gust in (("10 pm", 20), ("11 pm", 25), ("12 am", 30), ("1 am", 22))
    )
    got = wind(asked(capsys, tmp_path, wall, text).json)
    assert [at for at, _, _ in got] == ["03-06T22:00", "03-06T23:00", "03-07T00:00", "03-07T01:00"]


def test_knots_are_knots(capsys, tmp_path, wall):
    got = wind(asked(capsys, tmp_path, wall, "3 pm S 15 G 25 kt\n4 pm 18012G20KT\n").json)
    assert [gust for _, gust, _ in got] == [pytest.approx(28.77, abs=0.01), pytest.approx(23.02, abs=0.01)]


def test_the_question_is_asked_where_there_is_no_gust_at_all(capsys, tmp_path, wall):
    text = "3 pm S 25 mph\n4 pm S 30 mph\n"
    ran = asked(capsys, tmp_path, wall, text)
    assert ran.status == 2
    (fault,) = json.loads(ran.out)["errors"]
    assert "is wind the sustained wind or the gust?" in fault["expected"]
    assert '--columns "sustained=wind"' in fault["expected"]
    got = wind(asked(capsys, tmp_path, wall, text, "--columns", "sustained=wind").json)
    assert [gust for _, gust, _ in got] == [38.25, 45.9]
    got = wind(asked(capsys, tmp_path, wall, text, "--columns", "gust=wind").json)
    assert [gust for _, gust, _ in got] == [25.0, 30.0]


BAD = {
    "no unit anywhere": ("3 pm S 15 G 28\n", "unit of words"),
    "morning or evening": ("8:00 S 15 G 28 mph\n9:00 G 30 mph\n", "file"),
    "a row without a speed": ("3 pm S 15 G 28 mph\n4 pm cloudy\n", "line 2, words"),
    "a gust under its wind": ("3 pm S 30 G 20 mph\n", "line 1"),
    "a day that is not that date's": ("Sat 3/6 3 pm G 28 mph\n", "line 1, time"),
    "hours in disorder": ("3 pm G 28 mph\n5 pm G 30 mph\n4 pm G 20 mph\n", "line 3, time"),
    "a morning that is over": ("7 am G 28 mph\n", "line 1, time"),
    "another zone's clock": ("Hour (EST)\t15\t16\nGust (mph)\t28\t30\n", "hour 1 of line 1, Hour (EST)"),
    "cells lost": ("Hour\t15\t16\t17\nGust (mph)  28  30\n", "line 2, Gust (mph)"),
    "a gust of no hour": ("Gusts to 45 mph tonight\n3 pm S 15 G 28 mph\n", "line 1"),
    "a thunder word nobody knows": ("Time\tGust (mph)\tThunder\n3 pm\t28\tperhaps\n", "line 2, Thunder"),
    "a speed past all sense": ("3 pm S 15 G 400 mph\n", "line 1, words"),
    "prose": ("It will blow tonight.\nStay home.\n", "file"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_read_is_one_clear_line(capsys, tmp_path, wall, name):
    text, field = BAD[name]
    ran = asked(capsys, tmp_path, wall, text)
    assert ran.status == 2
    found = json.loads(ran.out)["errors"]
    assert [fault["field"] for fault in found] == [field]
    assert all(fault["expected"] for fault in found)


def test_every_bad_row_has_its_own_line(capsys, tmp_path, wall):
    text = "3 pm S 15 G 28 mph\n4 pm cloudy\n5 pm G 400 mph\n6 pm G 30 mph\n7 pm fog\n"
    found = json.loads(asked(capsys, tmp_path, wall, text).out)["errors"]
    assert [fault["field"] for fault in found] == ["line 2, words", "line 3, words", "line 5, words"]


def test_thunder_said_above_the_hours_counts_for_all(capsys, tmp_path, wall):
    ran = asked(
        capsys, tmp_path, wall, "Severe thunderstorm watch until 9 pm\n3 pm S 15 G 28 mph\n4 pm G 30 mph\n"
    )
    assert [gust for _, gust, _ in wind(ran.json)] == [58.0, 58.0]
    assert any("for all of it" in note for note in ran.json["forecast"]["notes"])


# -- the open forms ----------------------------------------------------------------------------------------


def layer(uom, *values):
    return {"uom": uom, "values": [{"validTime": span, "value": value} for span, value in values]}


def storms(span):
    value = [{"coverage": "slight_chance", "weather": "thunderstorms", "intensity": None, "attributes": []}]
    return {
        "values": [
            {"validTime": span, "value": value},
            {"validTime": "2026-03-07T05:00:00+00:00/PT1H", "value": [{"weather": None}]},
        ]
    }


def grid(**more):
    """21:00 in UTC is 3 pm in Chicago; 100 km/h is 62.14 mph, 50 km/h 31.07, 20 km/h 12.43."""
    inside = {
        "updateTime": "2026-03-06T18:00:00+00:00",
        "windSpeed": layer("wmoUnit:km_h-1", ("2026-03-06T21:00:00+00:00/PT6H", 20)),
        "windGust": layer(
            "wmoUnit:km_h-1",
            ("2026-03-06T21:00:00+00:00/PT3H", 50),
            ("2026-03-07T00:00:00+00:00/PT1H", 100),
            ("2026-03-07T01:00:00+00:00/PT2H", None),
        ),
        "weather": storms("2026-03-06T22:00:00+00:00/PT1H"),
    }
    return json.dumps({"type": "Feature", "properties": {**inside, **more}})


def test_a_page_of_the_grid(capsys, tmp_path, wall):
    ran = asked(capsys, tmp_path, wall, grid())
    got = wind(ran.json)
    assert [at for at, _, _ in got] == [f"03-06T{hour}:00" for hour in (15, 16, 17, 18, 19, 20)]
    assert [gust for _, gust, _ in got] == [
        pytest.approx(each, abs=0.01)
        for each in (31.07, 58.0, 31.07, 62.14, 20 / 1.609344 * 1.53, 20 / 1.609344 * 1.53)
    ]
    assert [storm for _, _, storm in got] == [False, True, False, False, False, False]
    assert ran.json["forecast"]["notes"] == []


def test_an_old_page_says_so(capsys, tmp_path, wall):
    ran = asked(capsys, tmp_path, wall, grid(updateTime="2026-03-05T18:00:00+00:00"))
    assert any("look for a newer one" in note for note in ran.json["forecast"]["notes"])


def period(start, end, wind_speed, gust=None, words="Sunny", detail=""):
    return {
        "number": 1, "startTime": f"2026-03-0{start}:00:00-06:00", "endTime": f"2026-03-0{end}:00:00-06:00",
        "windSpeed": wind_speed, "windGust": gust, "shortForecast": words, "detailedForecast": detail,
    }  # fmt: skip


def test_a_page_of_periods(capsys, tmp_path, wall):
    page = {
        "properties": {
            "generatedAt": "2026-03-06T19:00:00+00:00",
            "periods": [
                period("6T15", "6T16", "10 to 20 mph"),
                period("6T16", "6T17", "15 mph", "30 mph"),
                period(
                    "6T17",
                    "6T18",
                    {"unitCode": "wmoUnit:km_h-1", "value": 40},
                    None,
                    "Slight Chance T-storms",
                ),
                period(
                    "6T18",
                    "6T20",
                    "15 mph",
                    None,
                    "Windy",
                    "South wind 15 mph, with gusts as high as 45 mph.",
                ),
            ],
        }
    }
    got = wind(asked(capsys, tmp_path, wall, json.dumps(page)).json)
    assert [at for at, _, _ in got] == [f"03-06T{hour}:00" for hour in (15, 16, 17, 18, 19)]
    assert [gust for _, gust, _ in got] == [pytest.approx(20 * 1.53, abs=0.01), 30.0, 58.0, 45.0, 45.0]


BAD_PAGES = {
    "an unknown unit": (
        grid(windGust=layer("wmoUnit:furlong", ("2026-03-06T21:00:00+00:00/PT3H", 50))),
        "windGust.uom",
    ),
    "a span that is none": (
        grid(windGust=layer("wmoUnit:km_h-1", ("soon", 50))),
        "windGust.values[0].validTime",
    ),
    "a number in words": (
        grid(windGust=layer("wmoUnit:km_h-1", ("2026-03-06T21:00:00+00:00/PT3H", "fast"))),
        "windGust at 2026-03-06T21:00Z",
    ),
    "a gap": (
        grid(
            windSpeed=layer(
                "wmoUnit:km_h-1", ("2026-03-06T21:00:00+00:00/PT1H", 5), ("2026-03-07T09:00:00+00:00/PT1H", 5)
            )
        ),
        "windGust and windSpeed",
    ),
    "no offset": (
        json.dumps(
            {
                "periods": [
                    {
                        "startTime": "2026-03-06T15:00:00",
                        "endTime": "2026-03-06T16:00:00-06:00",
                        "windSpeed": "5 mph",
                    }
                ]
            }
        ),
        "periods[0].startTime",
    ),
    "no unit": (json.dumps({"periods": [period("6T15", "6T16", "15")]}), "periods[0].windSpeed"),
    "periods that overlap": (
        json.dumps({"periods": [period("6T15", "6T17", "15 mph"), period("6T16", "6T18", "15 mph")]}),
        "periods",
    ),
    "nothing in it": (json.dumps({"properties": {"windGust": {"values": []}}}), "properties"),
}


@pytest.mark.parametrize("name", BAD_PAGES)
def test_a_page_that_cannot_be_read_says_where(capsys, tmp_path, wall, name):
    text, field = BAD_PAGES[name]
    ran = asked(capsys, tmp_path, wall, text)
    assert ran.status == 2
    assert next(fault["field"] for fault in json.loads(ran.out)["errors"]) == field
