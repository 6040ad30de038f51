"""The curves of a wall stand on the engineer's part of its sheet, after its limits, and on no page of the crew."""

import base64
import html
import re
import subprocess
import sys

import pytest

from tests.cli.running import EXAMPLES, WITHIN, run, said

pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

WALL = EXAMPLES / "short-wall-braced.toml"
MOMENT = ("--now", "2026-03-06 12:00", "--zone", "America/Chicago")


def page(capsys, tmp_path, part, *words, wall=WALL):
    out = tmp_path / f"{part}.html"
    ran = run(capsys, "sheet", wall, "--budget", 0, "-o", out, "--part", part, "--overwrite", *words)
    assert ran.status in WITHIN
    return out.read_text(encoding="utf-8")


def curves_of(text):
    """The picture under the heading, and what stands before it."""
    part = text.partition("<h2>Chance</h2>")[2].partition("<h2>")[0]
    return part, base64.b64decode(re.search(r"data:image/svg\+xml;base64,([^\"]+)", part)[1])


@pytest.mark.parametrize("metric", [(), ("--metric",)])
def test_the_engineer_has_the_picture_of_the_command_after_the_limits(capsys, tmp_path, metric):
    part, drawn = curves_of(page(capsys, tmp_path, "engineer", *metric))
    svg = tmp_path / "chance.svg"
    assert run(capsys, "chance", WALL, "--svg", svg, "--overwrite", *metric, *MOMENT).status == 0
    assert drawn == svg.read_bytes()
    words = said(html.unescape(re.sub(r"<[^>]*>", " ", part.partition("<figure")[0])))
    assert re.fullmatch(r"Clear out before .+; limit gust .+\. Nothing below moves either\.", words)
    after = said(re.sub(r"<[^>]*>", " ", part.partition("</figure>")[2]))
    assert "no leave to stand by a wall" in after
    assert "Left out: thunderstorms tonight" in after
    assert not re.search(r"\b(within|safe|holds|good for|ok)\b", words + after, re.IGNORECASE)
    assert re.search(r'alt="Curves over the gust\. In a gust of the limit, .+ of 100 such walls', part)
    inks = set(re.findall(rb"(?:stroke|fill): ?(#[0-9a-f]+)", drawn))
    assert inks <= {b"#000000", b"#ffffff"}


def test_the_same_page_twice(capsys, tmp_path):
    assert page(capsys, tmp_path, "engineer") == page(capsys, tmp_path, "engineer")


@pytest.mark.parametrize("part", ["sheet", "clipboard"])
def test_the_crew_has_none(capsys, tmp_path, part):
    text = page(capsys, tmp_path, part)
    assert "<h2>Chance</h2>" not in text
    assert "how likely" not in text.lower()


def test_a_wall_that_is_not_up_or_can_move_has_none(capsys, tmp_path):
    text = WALL.read_text(encoding="utf-8")
    plan = tmp_path / "plan.toml"
    plan.write_text(text.replace("[wall]", '[wall]\nstate = "planned"', 1), encoding="utf-8")
    assert "<h2>Chance</h2>" not in page(capsys, tmp_path, "engineer", wall=plan)
    loose = tmp_path / "loose.toml"
    loose.write_text(text[: text.index("[[brace]]", text.index("[[brace]]") + 1)], encoding="utf-8")
    out = tmp_path / "loose.html"
    run(capsys, "sheet", loose, "--budget", 0, "-o", out, "--part", "engineer")
    assert "<h2>Chance</h2>" not in out.read_text(encoding="utf-8")


def test_nothing_of_it_is_loaded_with_other_commands():
    code = (
        "import sys; from bracing.commands.cli import main; "
        f"main(['check', {str(WALL)!r}, '--gust', '30']); "
        "print([m for m in sys.modules if m.startswith(('bracing.chance', 'bracing.drawing', 'matplotlib', 'jinja2'))])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=120
    )
    assert done.stdout.splitlines()[-1] == "[]"
