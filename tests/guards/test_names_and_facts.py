"""A fact stands once: what contradicts itself, or is told in part, because it was written twice."""

from __future__ import annotations

from tests.cli.running import EXAMPLES, run

WALL = '[wall]\nlength = "20 ft"\nheight = "8 ft"\n'


def test_every_fault_of_a_fastener_is_told_at_once(capsys, tmp_path):
    path = tmp_path / "w.toml"
    row = '[[fastener]]\nname = "{}"\nkind = "nail"\ndiameter = "0.1 ft"\nroot = "3"\ndeformed = true\nfyb = "10 psi"\n'
    path.write_text(WALL + row.format("ring") + row.format("Ring"), encoding="utf-8")
    ran = run(capsys, "check", path)
    assert ran.status == 2
    told = [line.split(": ")[1] for line in ran.err.splitlines() if "fastener[" in line]
    assert told == [
        *(f"fastener[0].{key}" for key in ("diameter", "root", "length", "fyb", "report")),
        *(f"fastener[1].{key}" for key in ("name", "diameter", "root", "length", "fyb", "report")),
    ]


def test_a_part_of_the_safety_rules_is_not_said_twice(capsys):
    ran = run(capsys, "lift", EXAMPLES / "short-wall.toml", "--line-distance", "30 ft", "--json")
    assert ran.status in (0, 1), ran.err
    assert "29 CFR 1926.14" in ran.out
    assert "1926 1926" not in ran.out
