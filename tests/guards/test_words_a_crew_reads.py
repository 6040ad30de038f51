"""No default screen speaks to an engineer first: his words stand in brackets behind plain ones, or in the trace."""

from __future__ import annotations

import re

import pytest

from bracing.text.en import WORDS
from tests.cli.running import EXAMPLES, run, said
from tests.guards.test_one_screen import bare
from tests.sheet_walls import text_of

# What a lead carpenter asked about, read aloud to him; behind plain words, in brackets, each may stand.
JARGON = {
    "slenderness": r"\ble/d\b|\bRB\b",
    "axes": r"\b(weak|strong) axis\b",
    "modes": r"\byield\b|\bmode [IV]+[ms]?\b|\bmode\b",
    "pressures": r"\bpsf\b|\bkPa\b|\bpsi\b",
    "sections": r"\bnet section\b|\brepetitive\b|\bcompression edge\b",
    "withdrawal": r"\bwithdrawal\b",
    "limp": r"\blimp\b",
    "level face": r"\blevel face\b",
    "symbols": r"\bmu\b|\bcos\b|\bkzt\b|\bFc\b|\bFcE\b",
    "grillage": r"\bgrillage\b|\btributary\b",
}
# Names of fields as files have them: two or more parts with dots between, and no file.
FIELD = re.compile(
    r"(?<![\w./-])(?:wall|floor|kit|site|brace(?:\[\d*\])?)(?:\.[a-z_]+(?:\[\d*\])?)+(?!\w)(?!/)"
)
BRACKETS = re.compile(r"\([^()]*\)")
# Said of sums, in a trace and an engineer's file, and of reports of fasteners, which only --all lists.
OF_ENGINEERS = {"outside-report-out"}


def jargon(text: str) -> list[str]:
    """What of it stands outside brackets."""
    plain = BRACKETS.sub("", said(text)).replace("wall.toml", "FILE")
    return [f"{what}: {found[0]}" for what, words in JARGON.items() if (found := re.search(words, plain))] + [
        f"a field: {found}" for found in FIELD.findall(plain)
    ]


def test_the_search_finds_what_it_looks_for():
    told = "le/d over 75, weak axis; yield mode IV; 11 psf; in withdrawal; wall.plate.state = tacked; brace[0].foot_on"
    assert len(jargon(told)) == 7
    assert jargon("too long for its thickness (le/d over 75); bracing check wall.toml") == []


def test_the_words_are_plain():
    """Every word an answer may say of itself, whichever wall brings it out."""
    plain = {id: re.sub(r"{[^{}]*}", "", words) for id, words in WORDS.items() if id not in OF_ENGINEERS}
    faults = {id: found for id, words in plain.items() if (found := jargon(words))}
    assert faults == {}


WALLS = {
    "as found": (EXAMPLES / "as-found.toml").read_text(encoding="utf-8"),
    "braced": (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8"),
    "gable": text_of("south-gable"),
    "slab": text_of("slab-wall"),
    "nothing declared": bare(3),
    "of the edition before": bare(3).replace("edition = 2", "edition = 1"),
}
COMMANDS = {
    "check": ("--gust", 30), "fasteners": ("--gust", 40), "stock": ("--gust", 40), "stages": ("--gust", 20),
    "weight": (), "lift": ("--gust", 10),
}  # fmt: skip


@pytest.mark.parametrize("name", WALLS)
@pytest.mark.parametrize("command", COMMANDS)
def test_a_default_screen_is_in_a_crew_s_words(capsys, monkeypatch, tmp_path, name, command):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "wall.toml").write_text(WALLS[name], encoding="utf-8")
    ran = run(capsys, command, "wall.toml", *COMMANDS[command])
    assert ran.status in (0, 1, 4), ran.err
    assert jargon(ran.out) == []


@pytest.mark.parametrize("name", ["short-wall", "slab-wall"])
def test_a_layout_is_in_a_crew_s_words(capsys, monkeypatch, tmp_path, name):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "wall.toml").write_text(
        (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    assert jargon(run(capsys, "layout", "wall.toml", "--gust", 40, "--budget", 0).out) == []


def test_the_trace_keeps_an_engineer_s_words(capsys, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "wall.toml").write_text(WALLS["braced"], encoding="utf-8")
    assert "mode" in said(run(capsys, "trace", "wall.toml", "--gust", 40).out)
