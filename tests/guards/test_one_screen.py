"""Every default answer of every command is one screen of 80 by 40, and what is cut is said."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.running import EXAMPLES, run, said
from tests.sheet_walls import NAMES, text_of
from tests.wall_files import wall_text

SCREEN, WIDTH = 40, 80
NAME = "Back wall on the street side, twelve braces, nothing declared"
BARE = """edition = 2
[wall]
name = "{name}"
length = "60 ft"
height = "10 ft"
studs = {{ size = "2x6", spacing = "16 in" }}
{more}
{braces}
"""
BRACE = """[[brace]]
mark = "B{k}"
stud_at = "{at} in"
head = "7 ft 6 in"
set_back = "7 ft 6 in"
size = "2x6"
ties = 1
head_fasteners = 3
cleat_fasteners = 3
floor_fasteners = 4
"""


def spread(count: int, length: int) -> tuple[int, ...]:
    """Studs at 16 in, spread over a wall [in]."""
    return tuple(16 * round(length * (k + 0.5) / count / 16) for k in range(count))


def bare(count: int, more: str = "") -> str:
    braces = "".join(BRACE.format(k=k, at=at) for k, at in enumerate(spread(count, 720), start=1))
    return BARE.format(name=NAME, braces=braces, more=more)


def walls() -> dict[str, str]:
    """Wall files of one to thirty braces: all declared, as found, and next to nothing."""
    texts = {path.stem: path.read_text(encoding="utf-8") for path in EXAMPLES.glob("*.toml")}
    texts |= {f"{name}, braced": text_of(name) for name in NAMES}
    for count, length in ((9, 48), (12, 60)):
        studs = tuple(f"{at} in" for at in spread(count, length * 12))
        texts[f"declared, {count}"] = wall_text(length=f"{length} ft", studs=studs)
    texts["nothing declared, 12"] = bare(12)
    texts["nothing declared, 30"] = bare(30)
    texts["built by design wind, 12"] = bare(12, '[site]\ndesign_speed = "115 mph"\nstands = "3 weeks"')
    texts["edition before, 12"] = bare(12).replace("edition = 2", "edition = 1")
    texts["standing, 12"] = bare(12).replace('"60 ft"\n', '"60 ft"\nstate = "standing"\n')
    texts["laid down, 12"] = bare(12).replace('"60 ft"\n', '"60 ft"\nstate = "laid down"\n')
    return texts


WALLS = walls()


@pytest.fixture(autouse=True)
def terminal(monkeypatch):
    monkeypatch.setenv("COLUMNS", str(WIDTH))


def file_of(folder: Path, name: str) -> Path:
    path = folder / "wall.toml"
    path.write_text(WALLS[name], encoding="utf-8")
    return path


def fits(text: str) -> None:
    lines = text.splitlines()
    assert len(lines) <= SCREEN, text
    assert max(map(len, lines)) <= WIDTH


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        *((name, ("--gust", 60, "--storms")) for name in WALLS),
        *((name, ()) for name in WALLS if "12" in name),
    ],
    ids=str,
)
def test_a_check_is_one_screen(capsys, monkeypatch, tmp_path, name, asked):
    file_of(tmp_path, name)
    monkeypatch.chdir(tmp_path)
    out = run(capsys, "check", "wall.toml", *asked).out
    fits(out)
    if "For an ENGINEER" in out:
        return
    # The clear-out gust stands over everything but the name, the verdict and whether it is up.
    number = said(out).lower().index("clear-out gust" if "Stood up as drawn" in said(out) else "clear out ")
    assert number < said(out).index("Keep clear")
    assert number < said(out).index("Limit gust")


@pytest.mark.parametrize("name", WALLS)
@pytest.mark.parametrize("command", ["fasteners", "stock"])
def test_fasteners_and_sticks_are_one_screen(capsys, monkeypatch, tmp_path, name, command):
    file_of(tmp_path, name)
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, command, "wall.toml", "--gust", 40)
    assert ran.status in (0, 1)
    if ran.out:
        fits(ran.out)


STEMS = tuple(path.stem for path in sorted(EXAMPLES.glob("*.toml")))
NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")


@pytest.mark.parametrize(
    ("name", "gust"), [*((name, 40) for name in STEMS), ("short-wall", 110), ("as-found", 90)]
)
def test_a_layout_is_one_screen_that_ends_with_what_is_cut(capsys, monkeypatch, tmp_path, name, gust):
    file_of(tmp_path, name)
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, "layout", "wall.toml", "--gust", gust, "--budget", 0)
    if not ran.out:
        assert ran.status == 1
        assert ran.err
        return
    fits(ran.out)
    if "long point" in ran.out and "NO PLAN" not in ran.out:
        assert ran.out.index("BUY" if "BUY" in ran.out else "NEEDED TOO") < ran.out.index("long point")
        assert re.search(r"^B1 ", ran.out, re.MULTILINE)


# Each of these with each wall file. "?" is a reading of plumb at every brace of it.
OTHERS = {
    "lift": ("lift", "--gust", 10), "lift of its own gust": ("lift", "--flat-slings"), "weight": ("weight",),
    "stages": ("stages", "--gust", 20), "plumb": ("plumb", "--readings", "?"),
    "storm by night": ("storm", "--gust", 50, "--storms", "--from", "tomorrow 8 pm", "--budget", 0, *NOW),
    "storm now": ("storm", "--gust", 35, "--budget", 0, *NOW),
    "a series": ("storm", "--forecast", "week.csv", "--budget", 0, *NOW),
}  # fmt: skip
MORE = ("declared, 12", "nothing declared, 30", "nothing declared, 12")
ASKED = [
    *((name, what) for name in STEMS for what in OTHERS if what != "storm now"),
    *((name, what) for name in MORE for what in ("lift", "stages", "plumb")),
    ("rake-wall", "storm now"), ("declared, 12", "storm now"),
]  # fmt: skip


def week() -> str:
    """Seven days in which every other three hours are calm."""
    rows = [
        f"2026-03-{7 + day:02}T{hour:02}:00,{20 + 60 * (hour // 3 % 2)}"
        for day in range(7)
        for hour in range(24)
    ]
    return "\n".join(["time,gust_mph", *rows]) + "\n"


@pytest.mark.parametrize(("name", "what"), ASKED, ids=str)
def test_lifts_and_storms_and_all_that_stands_are_one_screen(capsys, monkeypatch, tmp_path, name, what):
    path = file_of(tmp_path, name)
    (tmp_path / "week.csv").write_text(week(), encoding="utf-8")
    marks = re.findall(r'^mark = "(B[0-9]+)"', path.read_text(encoding="utf-8"), re.MULTILINE)
    readings = "\n".join(
        ["mark,floor,head", *(f"{mark},2 in,{2 + k % 3 / 8} in" for k, mark in enumerate(marks))]
    )
    (tmp_path / "readings.csv").write_text(readings + "\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    command, *words = OTHERS[what]
    ran = run(capsys, command, "wall.toml", *("readings.csv" if word == "?" else word for word in words))
    if ran.status == 2:  # no brace to read, or slings too flat: a refusal, of a few lines too
        assert ran.out == ""
        assert len(ran.err.splitlines()) <= 8
        return
    fits(ran.out)
    assert ran.out.count("--all)") <= 1


@pytest.mark.parametrize("what", ["lift", "storm by night", "weight"])
def test_all_of_a_lift_and_a_storm_is_there_by_all(capsys, monkeypatch, tmp_path, what):
    """Whatever stands on the one screen stands in the whole as well, and the whole says more."""
    file_of(tmp_path, "short-wall-braced")
    monkeypatch.chdir(tmp_path)
    command, *words = OTHERS[what]
    short, whole = (run(capsys, command, "wall.toml", *words, *more).out for more in ((), ("--all",)))
    assert "--all" in short
    assert "Not shown" not in whole
    assert len(whole.splitlines()) > len(short.splitlines())
    numbers, all_of_them = (set(re.findall(r"[0-9]+", said(text))) for text in (short, whole))
    assert numbers - all_of_them <= set(re.search(r"[0-9 ]* more: --all|Not shown: .*--all", said(short))[0])


def test_a_folder_of_walls_is_one_screen(capsys, monkeypatch, tmp_path):
    for name in STEMS:
        (tmp_path / f"{name}.toml").write_text(WALLS[name], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    for more in ((), ("--people", 4, "--hours", 6)):
        fits(run(capsys, "storm", ".", "--gust", 45, "--budget", 0, *NOW, *more).out)


@pytest.mark.parametrize("count", [9, 12])
def test_all_of_it_is_there_by_all(capsys, monkeypatch, tmp_path, count):
    """What the first screen says is not shown is shown by --all, and nothing of the first screen is lost."""
    (tmp_path / "wall.toml").write_text(bare(count), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    short, whole = (run(capsys, "check", "wall.toml", "--gust", 30, *more).out for more in ((), ("--all",)))
    assert "Not shown" not in whole
    assert "more: --all" not in whole
    assert "By hand:" not in short
    assert "By hand:" in whole
    assumed = re.compile(r"^ *(?:\d+ mph|-)  ", re.MULTILINE)
    left_out = len(assumed.findall(whole)) - len(assumed.findall(short))
    assert left_out > 30
    named, counted = (
        re.search(r"Not shown: (.+) \(--all\)", said(short)),
        re.search(r"(\d+) more: --all", said(short)),
    )
    if named:
        assert "the check by hand" in named[1]
        assert f"{left_out} assumed" in named[1]
    else:  # too many for their names: the check by hand and what else is only counted
        assert int(counted[1]) > left_out


def test_what_is_assumed_and_costs_most_is_never_cut(capsys, monkeypatch, tmp_path):
    (tmp_path / "wall.toml").write_text(bare(12), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, "check", "wall.toml", "--gust", 30, "--json").json
    dearest = sorted((one["effect_mph"] or 0.0 for one in ran["assumed"]), reverse=True)[:2]
    out = run(capsys, "check", "wall.toml", "--gust", 30).out
    costs = [float(cost) for cost in re.findall(r"^ *(\d+) mph  ", out, re.MULTILINE)]
    assert costs[:2] == [float(int(cost)) for cost in dearest]


def test_of_more_braces_than_twelve_the_rest_are_counted(capsys, monkeypatch, tmp_path):
    (tmp_path / "wall.toml").write_text(bare(30), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    rows = re.compile(r"^B\d+ +\d+'-", re.MULTILINE)
    out = run(capsys, "check", "wall.toml", "--gust", 30).out
    assert len(rows.findall(out)) == 12
    assert "18 more braces" in said(out) or re.search(r"\d+ more: --all", out)
    assert len(rows.findall(run(capsys, "check", "wall.toml", "--gust", 30, "--all").out)) == 30


@pytest.mark.parametrize(
    "command", ["check", "fasteners", "stock", "layout", "storm", "stages", "lift", "weight"]
)
def test_cautions_are_two_lines_and_at_length_by_asking(capsys, monkeypatch, tmp_path, command):
    file_of(tmp_path, "short-wall-braced")
    monkeypatch.chdir(tmp_path)
    gust = () if command == "weight" else ("--gust", 20)
    budget = ("--budget", 0) if command == "layout" else ()
    short = run(capsys, command, "wall.toml", *gust, *budget).out
    whole = run(capsys, command, "wall.toml", *gust, *budget, "--cautions").out
    lines = short.splitlines()
    first = next(k for k, line in enumerate(lines) if line.startswith("Void if anything differs"))
    assert lines[first + 1].endswith("Never shelter beside the wall. (--cautions)")
    assert sum("--cautions" in line for line in lines) == 1
    for words in ("Leaves out impact", "thunderstorm gusts can exceed every number",
                  "a licensed engineer govern"):  # fmt: skip
        assert words in said(whole)
        assert words not in said(short)
