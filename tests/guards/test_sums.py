"""What the sums say is what was worked out, whatever a person names a nail."""

from __future__ import annotations

from tests.cli.running import run
from tests.guards.test_own_fasteners import JOINTS, OURS, OWN
from tests.wall_files import wall_text

OVER = "Nail over plate"
PARTED = "nails 2 x 4 or so"


def sums(capsys, folder, link, **changes):
    """Steps of one link of a wall that has the person's own nail in every joint."""
    folder.mkdir()
    wall, name = folder / "w.toml", changes.pop("name", OWN)
    text = wall_text(**(dict.fromkeys(JOINTS, name) | changes)) + OURS.replace(OWN, name)
    text = text.replace('lie = "edge"', 'lie = "flat"')
    wall.write_text(text, encoding="utf-8")
    answer = run(capsys, "trace", wall, "--gust", "20", "--json").json
    (found,) = [each for each in answer["links"] if each["link"] == link]
    return found["steps"]


def test_a_nail_keeps_its_sums_whatever_words_are_in_its_name(capsys, tmp_path):
    plain = sums(capsys, tmp_path / "plain", "plate shear and uplift")
    assert len(plain) > 6
    assert plain[-1]["value"] > 0.0
    for k, name in enumerate((OVER, PARTED)):
        named = sums(capsys, tmp_path / str(k), "plate shear and uplift", name=name)
        assert [(step["sum"], step["value"]) for step in named] == [(s["sum"], s["value"]) for s in plain]
        assert any(name in step["what"] for step in named)


def test_what_a_panel_holds_in_the_wet_is_said_with_the_factor_that_was_used(capsys, tmp_path):
    """A cleat nailed to the deck alone: 0.75 and its own clause, not the quarter of a nail in green lumber."""
    steps = sums(capsys, tmp_path / "deck", "cleat to floor", joist="deck")
    (withdrawal,) = [step for step in steps if "held by panel" in step["what"]]
    assert " × 0.75" in withdrawal["sum"]
    assert "Herzog and Yeh" in withdrawal["source"]
    assert "table 11.3.3" not in withdrawal["source"]
