"""Where a value from memory governs a sum, the words stand beside its clause: screens, sheet and JSON."""

import re

import pytest

from bracing.codes.asce7.velocity import above_ground
from bracing.codes.joints import Joint, Ply
from bracing.codes.nds.adjusted import design_values
from bracing.codes.nds.fastener import fastener_capacity
from bracing.codes.nds.withdrawal import ring_shank_withdrawal, tension_of_root
from bracing.job.fasteners import Fastener
from bracing.job.lumber import grade
from bracing.sums import printed
from tests.cli.running import EXAMPLES, run

WALL = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")


def written(folder, *changes):
    text = WALL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    path = folder / "wall.toml"
    path.write_text(text, encoding="utf-8")
    return path


def known_of_links(capsys, path):
    """How each kind of link is known, by its name."""
    found = {}
    for link in run(capsys, "check", path, "--json").json["links"]:
        found.setdefault(link["link"], set()).add(link["known"])
    return found


def test_the_kind_of_panel_decides_how_its_fasteners_are_known(capsys, tmp_path):
    """Table 12.3.3B was read of plywood; of OSB its gravity is from memory."""
    osb = known_of_links(capsys, written(tmp_path))
    assert osb["plate shear"] == osb["sheathing to plate"] == osb["cleat to floor"] == {"memory"}
    assert osb["top plate to stud"] == osb["stud bending"] == osb["brace to cleat"] == {"read"}
    plywood = known_of_links(capsys, written(tmp_path, ("osb", "plywood")))
    assert plywood["plate shear"] == plywood["sheathing to plate"] == plywood["cleat to floor"] == {"read"}


@pytest.mark.parametrize("species", ["spruce-pine-fir", "SPF-S"])
def test_studs_of_either_spruce_were_read(capsys, species):
    words = ("--length", "20 ft", "--height", "9 ft", "--studs", "2x6@16in", "--species", species)
    ran = run(capsys, "check", *words, "--grade", "No.2", "--floor", "deck", "--json")
    studs = [link["known"] for link in ran.json["links"] if link["link"].startswith("stud ")]
    assert len(studs) > 4
    assert {link["known"] for link in ran.json["links"] if link["link"] == "stud bending"} == {"read"}


def test_the_words_stand_beside_the_clause_in_a_trace(capsys, tmp_path):
    ran = run(capsys, "trace", written(tmp_path, ("osb", "plywood")))
    said = " ".join(ran.out.split())
    assert "NDS 2018 Eq. 15.4-1 (from memory)" in said
    assert "NDS 2018 12.3.1 (from memory)" not in said
    links = {
        link["link"]: link["known"]
        for link in run(capsys, "trace", tmp_path / "wall.toml", "--json").json["links"]
    }
    assert links["brace in push"] == "memory"
    assert links["head joint"] == "read"


def test_the_list_of_links_names_what_is_from_memory_once(capsys, tmp_path):
    said = " ".join(run(capsys, "check", written(tmp_path, ("osb", "plywood")), "--links").out.split())
    (named,) = re.findall(r"From memory, not read in print: ([^.]*)\.", said)
    tied = ["diagonal", "diagonal nails", "tie at brace", "tie row"]  # by N/50 of EN 1995-1-1
    assert sorted(named.split(", ")) == sorted(["brace in push", "racking along the wall", *tied])


@pytest.mark.parametrize("deformed", [False, True])
def test_a_ring_shank_nail_was_read_as_a_smooth_one_was(deformed):
    nail = Fastener(
        "nail",
        "nail",
        0.131,
        0.131,
        0.4,
        3.0,
        3.0,
        0.262,
        100e3,
        source="R-1",
        deformed=deformed,
        report="R-1",
    )
    wood = Ply("wood", 1.5, 0.42)
    one = fastener_capacity(Joint(nail, plies=(wood, Ply("wood", 3.5, 0.42)), moisture="dry"))
    assert one.axial_mode == "withdrawal"
    assert (one.axial_known, one.lateral_known) == ("read", "read")


def test_southern_pine_was_read_every_grade_of_it():
    assert (
        grade("southern pine", "No.3", "2x4").known == grade("southern pine", "Stud", "2x6").known == "read"
    )
    assert grade("southern pine", "Construction", "2x4").known == "read"


@pytest.mark.parametrize(("size", "known"), [("2x12", "read"), ("2x14", "memory")])
def test_the_size_factor_of_pine_over_12_in_is_from_memory(size, known):
    assert design_values("southern pine", "No.2", size, wet=False).known == known


@pytest.mark.parametrize(
    ("words", "near"), [((), True), (("--line-kv", "350"), False), (("--line-kv", "0.4"), False)]
)
def test_a_lift_keeps_50_ft_from_a_line_of_unknown_voltage(capsys, words, near):
    """29 CFR 1926.1409(a): it may be over 350 kV, of which 50 ft is asked where 20 is of the others."""
    wall = EXAMPLES / "short-wall-braced.toml"
    ran = run(capsys, "lift", wall, "--line-distance", "30 ft", *words, "--json")
    assert any("power line" in one for one in ran.json["over"]) == near
    said = " ".join(run(capsys, "lift", wall, "--line-distance", "30 ft", *words).out.split())
    assert ("29 CFR 1926.1409(a); voltage not known" in said) == near


@pytest.mark.parametrize(
    ("formula", "how"),
    [(ring_shank_withdrawal, "read"), (above_ground, "computed"), (tension_of_root, "judgement")],
)
def test_a_formula_says_how_its_clauses_are_known(formula, how):
    assert printed(formula).how == how
