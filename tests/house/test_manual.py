"""The manual says what the program does: reference, pictures and commands are those there are."""

import importlib.util
import re
import shlex
import subprocess
import sys

import pytest
import typer

from bracing.commands.cli import app
from bracing.commands.help import COMMANDS
from tests import LONGEST_S, check
from tests.house.test_readme import PAGES
from tests.house.tree import ROOT, where
from tests.house.wall_reference import PAGE, page

DOCS = ROOT / "docs"
SCRIPTS = {"uncertainty": "uncertainty.py"}
SHOWN = re.compile(r"!\[[^\]]+\]\(([^)]+\.svg)\)")
COMMAND = re.compile(r"`(bracing [a-z][^`]*)`")
GROUP = typer.main.get_command(app)


def drawn():
    """The pictures docs/pictures/draw.py draws."""
    spec = importlib.util.spec_from_file_location("draw", DOCS / "pictures" / "draw.py")
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    return script


def test_the_reference_of_the_wall_file_is_written_from_the_classes():
    """Write it anew with: python -m tests.house.wall_reference."""
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_picture_on_a_page_is_drawn_by_a_script():
    shown = {path for text in PAGES for path in SHOWN.findall(text.read_text(encoding="utf-8"))}
    names = {path.rpartition("/")[2].removesuffix(".svg") for path in shown}
    script = drawn()
    from_answers = {"elevation", "plan", "zone", "section", "head", "foot"}
    assert names <= {*from_answers, *script.OTHERS, *SCRIPTS}
    assert len(names) >= 6


def test_every_picture_says_what_it_shows():
    for text in PAGES:
        for words in re.findall(r"!\[([^\]]*)\]", text.read_text(encoding="utf-8")):
            assert len(words) > 6, f"{where(text)}: a picture without words"


@pytest.mark.slow
def test_the_pictures_are_those_the_script_draws_now(tmp_path):
    """Draw them anew with: python docs/pictures/draw.py. Words and lines are compared, not how a release wraps them."""
    pytest.importorskip("matplotlib")
    drawn().main(tmp_path)
    for path in sorted(tmp_path.glob("*.svg")):
        kept = (DOCS / "pictures" / path.name).read_text(encoding="utf-8")
        assert outline(path.read_text(encoding="utf-8")) == outline(kept), path.name


def outline(svg):
    """Where a picture's lines run, to the whole point: releases of the drawing library differ in the digits after."""
    paths = re.findall(r'<path d="([^"]+)"', re.sub(r"<defs>.*?</defs>", "", svg, flags=re.S))
    return sorted(
        tuple(round(float(number)) for number in re.findall(r"-?\d+\.?\d*", path)) for path in paths
    )


def unknown_commands(text):
    """Commands and options a text names that are not there."""
    for line in COMMAND.findall(text):
        _, name, *words = shlex.split(line)
        known = GROUP.get_command(None, name) if name in COMMANDS else None
        if known is None:
            yield f"{line}: no such command"
            continue
        options = {option for param in known.params for option in (*param.opts, *param.secondary_opts)}
        yield from (f"{line}: no option {word}" for word in words if word[:1] == "-" and word not in options)


def test_a_command_named_in_a_sentence_is_one_there_is():
    faults = [
        f"{where(page)}: {fault}"
        for page in PAGES
        for fault in unknown_commands(page.read_text(encoding="utf-8"))
    ]
    assert not faults, "\n".join(faults)


def test_the_rule_sees_a_command_that_is_not_there():
    found = list(unknown_commands("`bracing check x --gust` `bracing check x --no-such` `bracing nothing x`"))
    assert len(found) == 2, found


def test_the_pages_show_every_command():
    text = "\n".join(path.read_text(encoding="utf-8") for path in PAGES)
    assert not [name for name in COMMANDS if f"bracing {name}" not in text]


def test_a_page_left_out_of_the_list_fails_the_build(tmp_path):
    """As the check builds it: told to be quiet it counted no warning, and ten pages were left out."""
    (tmp_path / "docs").mkdir()
    for name in ("index.md", "other.md"):
        (tmp_path / "docs" / name).write_text("# A page\n", encoding="utf-8")
    text = (ROOT / ".mkdocs.yml").read_text(encoding="utf-8")
    rules = text[text.index("validation:") :]
    ends = []
    for nav in ("[index.md]", "[index.md, other.md]"):
        (tmp_path / "mkdocs.yml").write_text(f"site_name: x\nnav: {nav}\n{rules}", encoding="utf-8")
        words = (sys.executable, "-m", *check.DOCS)
        ends.append(subprocess.run(words, cwd=tmp_path, capture_output=True, timeout=LONGEST_S).returncode)
    assert ends[0] != 0
    assert ends[1] == 0
