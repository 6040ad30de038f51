"""A forecast typed, and one read from a file: what is refused, with its line, and how clocks move."""

import time
from datetime import UTC, datetime, timedelta

import pytest

from bracing.errors import InputError
from bracing.reading.forecast import Declared, read_columns, read_forecast
from bracing.storm.clock import Clock, zone_named
from bracing.storm.forecast import Forecast, from_now_on, typed_forecast
from bracing.text.quantities import in_words
from tests.approx import printed

CHICAGO = zone_named("America/Chicago")
# A Friday, 3 pm in Chicago, two days before clocks go forward there (2026-03-08 02:00).
FRIDAY = Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), CHICAGO)


def faults(call, *args, **kwargs):
    with pytest.raises(InputError) as caught:
        call(*args, **kwargs)
    return [(fault.field, fault.value, fault.expected) for fault in caught.value.faults]


def series(tmp_path, text, name="series.csv", **declared):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return read_forecast(str(path), FRIDAY, Declared(**declared))


# -- moments ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("Fri 8 pm", "Fri Mar 6, 8 pm"),
        ("friday 20:30", "Fri Mar 6, 8:30 pm"),
        ("8 pm", "Fri Mar 6, 8 pm"),
        ("6 am", "Sat Mar 7, 6 am"),
        ("tonight 9 pm", "Fri Mar 6, 9 pm"),
        ("tonight 2 am", "Sat Mar 7, 2 am"),
        ("Tomorrow at 6:15 am", "Sat Mar 7, 6:15 am"),
        ("thurs noon", "Thu Mar 12, 12 pm"),
        ("today 8 am", "Fri Mar 6, 8 am"),
        ("2026-03-06 20:00", "Fri Mar 6, 8 pm"),
        ("2026-03-07T02:00Z", "Fri Mar 6, 8 pm"),
        ("now", "Fri Mar 6, 3 pm"),
        ("12 am", "Sat Mar 7, 12 am"),
    ],
)
def test_a_moment_as_people_say_it(said, shown):
    assert FRIDAY.text(FRIDAY.read(said)) == shown


@pytest.mark.parametrize(
    "said",
    [
        "8",
        "8:00",
        "Fri",
        "13 pm",
        "0 pm",
        "25:00",
        "8:61 pm",
        "soon",
        "",
        None,
        8,
        "midnight",
        "Fri 8 pm x",
        "someday 8 pm",
        "2026-02-30 10:00",
        "2026-13-01 10:00",
    ],
)
def test_what_is_no_moment_is_refused(said):
    assert 'such as "Fri 8 pm"' in faults(FRIDAY.read, said)[0][2]


@pytest.mark.parametrize("said", ["1926-03-07 10:00", "2260-03-07T10:00Z"])
def test_a_year_mistyped_is_refused(said):
    assert faults(FRIDAY.read, said)[0][2] == "a date of this century"


@pytest.mark.parametrize(
    ("zone", "shown"),
    [
        ("-06:00", "Fri Mar 6, 3 pm"),
        ("+05:30", "Sat Mar 7, 2:30 am"),
        ("+0000", "Fri Mar 6, 9 pm"),
        ("z", "Fri Mar 6, 9 pm"),
    ],
)
def test_an_offset_is_a_zone_whose_clock_never_moves(zone, shown):
    """9 pm in UTC; six hours behind it, and five and a half ahead. On the spring night no hour is missing there."""
    clock = Clock(FRIDAY.now, zone_named(zone))
    assert clock.text(FRIDAY.now) == shown
    assert clock.read("Sun 3 am") - clock.read("Sun 1 am") == timedelta(hours=2)


def test_without_zone_data_the_package_that_has_it_is_named(monkeypatch):
    monkeypatch.setattr("bracing.storm.clock.available_timezones", set)
    assert "tzdata" in faults(zone_named, "America/Chicgo")[0][2]


def test_a_day_that_has_just_passed_is_asked_about_not_put_off_a_week():
    ((_, value, expected),) = faults(FRIDAY.read, "Fri 2 pm")
    assert value == "Fri 2 pm"
    assert "it is Fri Mar 6, 3 pm" in expected
    assert "today" in faults(FRIDAY.read, "10 am")[0][2]
    assert "has not passed" in faults(FRIDAY.read, "2026-03-04 10:00")[0][2]


def test_clocks_that_go_forward_never_show_half_past_two():
    assert "clocks go forward" in faults(FRIDAY.read, "Sun 2:30 am")[0][2]
    assert FRIDAY.read("Sun 3 am") - FRIDAY.read("Sun 1 am") == timedelta(hours=1)


def test_clocks_that_go_back_show_half_past_one_twice():
    # 2026-11-01 02:00 in Chicago; "from" takes the first, "until" the second.
    clock = Clock(datetime(2026, 10, 31, 20, 0, tzinfo=UTC), CHICAGO)
    first, second = clock.read("Sun 1:30 am"), clock.read("Sun 1:30 am", later=True)
    assert second - first == timedelta(hours=1)
    assert clock.twice(datetime(2026, 11, 1, 1, 30))
    assert not clock.twice(datetime(2026, 11, 1, 3, 30))
    hour = typed_forecast(clock, gust="50", start="Sun 1:30 am", until="Sun 1:30 am").hours[0]
    assert hour.end - hour.start == timedelta(hours=1)


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone of a process cannot be set here")
def test_the_computers_own_zone_moves_its_clock_too(monkeypatch):
    monkeypatch.setenv("TZ", "America/Chicago")
    time.tzset()
    try:
        clock = Clock(FRIDAY.now)
        assert clock.text(clock.read("Fri 8 pm")) == "Fri Mar 6, 8 pm"
        assert clock.read("Sun 3 am") == FRIDAY.read("Sun 3 am")
        assert "clocks go forward" in faults(clock.read, "Sun 2:30 am")[0][2]
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize(
    "name", ["CST", "EST", "America", "../etc/passwd", "America/", "Chicago", "+25:00", ""]
)
def test_a_zone_is_a_place_not_an_abbreviation(name):
    assert "such as America/Chicago" in faults(zone_named, name)[0][2]


def test_a_misspelt_place_is_given_its_near_names():
    assert "America/Chicago" in faults(zone_named, "America/Chicgo")[0][2]


# -- typed -----------------------------------------------------------------------------------------------


def test_the_form_a_person_types():
    hour = typed_forecast(FRIDAY, gust="50", storms=True, start="Fri 8 pm").hours[0]
    assert (FRIDAY.text(hour.start), hour.end, hour.given, hour.gust) == ("Fri Mar 6, 8 pm", None, 50.0, 58.0)
    assert in_words(hour.how) == ["thunderstorms: no less than 58 mph"]


def test_a_sustained_wind_is_multiplied_and_shown():
    hour = typed_forecast(FRIDAY, sustained="40 kt").hours[0]
    assert hour.gust == printed("70.4", within=0.06, because="40 kt is 46.03 mph, times 1.53")
    assert in_words(hour.how) == ["sustained 46.0312 mph x 1.53 = 70.5 mph"]
    assert hour.start == FRIDAY.now


def test_the_highest_gust_of_a_forecast_is_the_highest_planned_for():
    """A thunderstorm said at 30 is planned at 58, above the 45 of an hour without one."""
    first, second = (
        typed_forecast(FRIDAY, gust=gust, start=start, storms=storms).hours[0]
        for gust, start, storms in (("45", "Fri 8 pm", False), ("30", "Fri 10 pm", True))
    )
    assert Forecast((first, second)).highest == 58.0
    assert Forecast((first,)).highest == 45.0


def test_thunderstorms_alone_plan_at_58():
    assert typed_forecast(FRIDAY, storms=True).hours[0].gust == 58.0
    assert typed_forecast(FRIDAY, storms=True, gust="70").hours[0].gust == 70.0


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({}, "--gust"),
        ({"gust": "50", "sustained": "30"}, "--sustained"),
        ({"gust": "400"}, "--gust"),
        ({"gust": "-3"}, "--gust"),
        ({"gust": "fast"}, "--gust"),
        ({"gust": "50", "start": "Sat 8 pm", "until": "Sat 6 pm"}, "--until"),
        ({"gust": "50", "start": "whenever"}, "--from"),
    ],
)
def test_a_typed_forecast_that_cannot_be_is_refused(given, field):
    assert faults(typed_forecast, FRIDAY, **given)[0][0] == field


# -- a series --------------------------------------------------------------------------------------------

CSV = """time [America/Chicago],gust [mph],thunderstorm,temperature
2026-03-06 20:00,45,no,41
2026-03-06 21:00,52,yes,39
2026-03-06 22:00,38,,38
"""


def test_a_series_that_declares_itself(tmp_path):
    forecast = series(tmp_path, CSV)
    assert [hour.gust for hour in forecast.hours] == [45.0, 58.0, 38.0]
    assert FRIDAY.text(forecast.hours[0].start) == "Fri Mar 6, 8 pm"
    assert forecast.hours[-1].end - forecast.hours[-1].start == timedelta(hours=1)
    assert forecast.notes == ("not used: temperature",)
    assert forecast.zone == CHICAGO


def test_rows_in_any_order_are_the_same_series(tmp_path):
    first, *rows = CSV.splitlines()
    turned = series(tmp_path, "\n".join([first, *reversed(rows)]))
    assert turned.hours == series(tmp_path, CSV).hours


def test_what_a_file_does_not_declare_is_said_beside_it(tmp_path):
    text = "when;peak;mean\n2026-03-06 20:00;20.5;11\n"
    forecast = series(
        tmp_path, text, columns=read_columns("time=when, gust=peak"), unit="m/s", zone="America/Chicago"
    )
    assert forecast.hours[0].gust == printed("45.86")
    assert forecast.notes == ("not used: mean",)


def test_the_same_series_as_json(tmp_path):
    text = """{"time_zone": "America/Chicago", "unit": "mph", "hours": [
        {"time": "2026-03-06 20:00", "gust": 45}, {"time": "2026-03-06 21:00", "gust": 52, "thunderstorm": true},
        {"time": "2026-03-07T04:00:00Z", "gust": 38, "thunderstorm": null}]}"""
    assert series(tmp_path, text, "series.json").hours == series(tmp_path, CSV).hours


def test_a_bare_wind_is_refused_with_the_question(tmp_path):
    ((field, value, expected),) = faults(
        series, tmp_path, "time,wind [mph]\n2026-03-06 20:00,30\n", zone="UTC"
    )
    assert (field, value) == ("columns", "wind [mph]")
    assert "is wind [mph] the sustained wind or the gust?" in expected
    assert 'gust=wind [mph]"' in expected
    assert "sustained wind or the gust?" in faults(read_columns, "time=valid, wind=speed")[0][2]


def test_a_wind_beside_a_gust_is_left_out_and_said(tmp_path):
    forecast = series(tmp_path, "time,wind,gust [mph]\n2026-03-06 20:00,20,30\n", zone="UTC")
    assert forecast.hours[0].gust == 30.0


def test_a_gust_left_blank_takes_the_sustained_speed_beside_it(tmp_path):
    text = "time,sustained_mph,gust_mph\n2026-03-06 20:00,20,\n2026-03-06 21:00,20,35\n"
    assert [h.gust for h in series(tmp_path, text, zone="UTC").hours] == [pytest.approx(30.6, abs=1e-9), 35.0]


def test_the_word_in_the_weather_is_enough(tmp_path):
    text = "time,gust [mph],weather\n2026-03-06 20:00,20,T-storms\n2026-03-06 21:00,20,Cloudy\n"
    assert [h.gust for h in series(tmp_path, text, zone="UTC").hours] == [58.0, 20.0]


def test_every_fault_is_given_with_its_line(tmp_path):
    text = (
        "time,gust [mph],sustained [mph],thunderstorm\n"
        "2026-03-06 20:00,fast,,no\n"
        "yesterday,45,,no\n"
        "2026-03-06 22:00,,,no\n"
        "2026-03-06 23:00,20,30,no\n"
        "2026-03-07 00:00,20,10,perhaps\n"
        "2026-03-07 01:00,20\n"
        "2026-03-08 02:30,400,,no\n"
    )
    found = faults(series, tmp_path, text, zone="America/Chicago")
    assert [field for field, _, _ in found] == [
        "line 2, gust [mph]",
        "line 3, time",
        "line 4, gust [mph]",
        "line 5, gust [mph]",
        "line 6, thunderstorm",
        "line 7",
        "line 8, gust [mph]",
        "line 8, time",
    ]


@pytest.mark.parametrize(
    ("text", "declared", "field"),
    [
        ("time,gust\n2026-03-06 20:00,40\n", {"zone": "UTC"}, "unit of gust"),
        ("time,gust [mph]\n2026-03-06 20:00,40\n", {}, "time zone"),
        ("time,gust [furlongs]\n2026-03-06 20:00,40\n", {"zone": "UTC"}, "gust [furlongs]"),
        ("gust [mph]\n40\n", {"zone": "UTC"}, "columns"),
        ("time,rain\n2026-03-06 20:00,4\n", {"zone": "UTC"}, "columns"),
        ("time,gust [mph]\n", {"zone": "UTC"}, "file"),
        ("time,gust [mph]\n2026-03-06 20:00,4\n2026-03-06 20:00,5\n", {"zone": "UTC"}, "line 3"),
        ("time [UTC],gust [mph]\n2026-03-06 20:00,4\n", {"zone": "America/Chicago"}, "time zone"),
        ("time,gust [mph],gusts\n2026-03-06 20:00,4,5\n", {"zone": "UTC"}, "line 1"),
        ("time,gust [mph]\n2026-03-06 20:00,4\n", {"zone": "UTC", "columns": {"gust": "peak"}}, "line 1"),
        ("time,gust [mph]\n2026-03-06 20:00,4\n", {"zone": "CST"}, "time zone"),
        ('{"hours": 5}', {}, "hours"),
        (
            '{"hours": [{"time": "2026-03-06 20:00", "gust": NaN}], "unit": "mph"}',
            {"zone": "UTC"},
            "hours[0], gust",
        ),
        ('{"hours": [{"time": 5, "gust": 1}], "unit": "mph"}', {"zone": "UTC"}, "hours[0], time"),
        ('{"hours": [{"time": "2026-03-06 20:00", "gust": true}]}', {"zone": "UTC"}, "hours[0], gust"),
        ('{"hours": [], "units": "mph"}', {"zone": "UTC"}, "units"),
        ("{", {}, "line 1, column 2"),
        ("", {}, "file"),
    ],
)
def test_a_series_that_leaves_something_open_is_refused(tmp_path, text, declared, field):
    assert faults(series, tmp_path, text, **declared)[0][0] == field


def test_the_hour_a_clock_shows_twice_counts_its_higher_row_in_both(tmp_path):
    text = "time [America/Chicago],gust [mph]\n" + "".join(
        f"2026-11-01 {shown},{gust}\n"
        for shown, gust in (("00:00", 20), ("01:00", 30), ("01:00", 40), ("02:00", 25))
    )
    forecast = series(tmp_path, text)
    assert [hour.gust for hour in forecast.hours] == [20.0, 40.0, 40.0, 25.0]
    assert {hour.end - hour.start for hour in forecast.hours} == {timedelta(hours=1)}


def test_a_whole_spring_night_has_twenty_three_hours(tmp_path):
    rows = [f"2026-03-08 {hour:02d}:00,20\n" for hour in range(24) if hour != 2]
    forecast = series(tmp_path, "time [America/Chicago],gust [mph]\n" + "".join(rows))
    assert len(forecast.hours) == 23
    assert {hour.end - hour.start for hour in forecast.hours} == {timedelta(hours=1)}
    assert (
        "clocks go forward"
        in faults(series, tmp_path, "time [America/Chicago],gust [mph]\n2026-03-08 02:00,20\n")[0][2]
    )


def test_rows_that_are_over_are_left_out_and_an_old_forecast_is_refused(tmp_path):
    forecast = series(tmp_path, CSV)
    later = from_now_on(forecast, forecast.hours[1].start + timedelta(minutes=30))
    assert later.hours == forecast.hours[1:]
    assert later.notes[-1] == "left out, as they are over: 1 of 3 rows"
    assert "not run out" in faults(from_now_on, forecast, forecast.hours[-1].end)[0][2]
