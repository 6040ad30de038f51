"""The first page: two commands, the same as CI runs; and every page's links and commands."""

import contextlib
import doctest
import io
import os
import re
import shlex
import shutil
import sys
from pathlib import Path

import pytest

from bracing.commands.cli import main
from tests.house.tree import ROOT, where

README = (ROOT / "README.md").read_text(encoding="utf-8")
FIRST_SCREEN = 24  # lines of a small terminal
PAGES = sorted((*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")))


def commands(text):
    """The lines a page shows as commands on their own: indented by four, outside lists and fences."""
    outside = re.sub(r"^```.*?^```", "", text, flags=re.M | re.S)
    return re.findall(r"^    (\S.*)$", outside, flags=re.M)


def test_the_first_screen_holds_exactly_two_commands():
    assert len(commands(README)) == 2
    assert commands("\n".join(README.splitlines()[:FIRST_SCREEN])) == commands(README)


def test_ci_runs_the_second_command_to_the_letter():
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[-1] == commands(README)[1]


def test_ci_script_may_be_run():
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o111


def test_the_first_command_lays_out_an_example_that_is_there():
    found = re.search(r"bracing layout (\S+) --gust (\d+)$", commands(README)[0])
    assert found
    assert (ROOT / found[1]).is_file()


def test_a_newcomer_is_told_the_extras_there_are():
    project = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    asked = re.search(r"'\.\[(.*?)\]'", commands(README)[1])[1].split(",")
    for extra in asked:
        assert re.search(rf"^{extra} = \[", project, flags=re.M), extra


def anchors(text):
    """The anchors of a page's headings."""
    heads = re.findall(r"^#+ (.+)$", text, flags=re.M)
    return {re.sub(r"[^\w -]", "", head.lower()).strip().replace(" ", "-") for head in heads}


def broken_links(page, text):
    """Links of a page that lead to no file or no heading."""
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        path, _, anchor = target.partition("#")
        if path.startswith(("http:", "https:", "mailto:")):
            continue
        there = (page.parent / path).resolve() if path else page
        if not there.exists():
            yield f"{where(page)}: {target}: no such file"
        elif anchor and anchor not in anchors(there.read_text(encoding="utf-8")):
            yield f"{where(page)}: {target}: no such heading"


def test_links_lead_somewhere():
    faults = [fault for page in PAGES for fault in broken_links(page, page.read_text(encoding="utf-8"))]
    assert not faults, "\n".join(faults)


def test_the_rule_sees_a_link_that_leads_nowhere():
    text = "[a](README.md) [b](NOT-THERE.md) [c](README.md#no-such-heading) [d](https://example.org)"
    found = list(broken_links(ROOT / "README.md", text))
    assert [fault.split(": ", 1)[1] for fault in found] == [
        "NOT-THERE.md: no such file",
        "README.md#no-such-heading: no such heading",
    ]


def blocks(page, kind):
    """The fenced blocks of one kind on a page."""
    return re.findall(rf"^```{kind}\n(.*?)^```", page.read_text(encoding="utf-8"), flags=re.M | re.S)


def examples_of(page):
    """Fenced blocks marked `console`: each `$ bracing ...` line with the output printed under it."""
    for block in re.findall(r"^```console\n(.*?)^```", page.read_text(encoding="utf-8"), flags=re.M | re.S):
        for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
            command, _, output = part.partition("\n")
            yield command.strip(), output.strip("\n")


def run_example(command, folder):
    """Run one shown command on a copy of the examples; give what a person sees."""
    words = shlex.split(command)
    assert words[0] == "bracing", f"only the program's own commands are shown: {command}"
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8") for _ in range(2))
    with (
        contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err),
        Path(os.devnull).open(encoding="utf-8") as nothing, pytest.MonkeyPatch.context() as patch,
    ):  # fmt: skip
        patch.setattr(sys, "stdin", nothing)
        patch.setattr(sys, "argv", words)
        patch.setenv("COLUMNS", "80")
        main(words[1:])
    texts = []
    for stream in (out, err):
        stream.flush()
        texts.append(stream.buffer.getvalue().decode("utf-8"))
    return "".join(texts).strip("\n")


def alike(shown, seen):
    """Whether what is shown is what is seen; a line of "..." stands for any lines left out, or none.

    What a slow machine tells of its progress comes last, and a fast one has nothing to tell.
    """
    pattern = "".join(
        r"(?:.*\n)*" if line.strip() == "..." else re.escape(line.rstrip()) + r"\n"
        for line in shown.splitlines()
    )
    return re.fullmatch(pattern, "".join(line.rstrip() + "\n" for line in seen.splitlines())) is not None


@pytest.mark.parametrize("page", [page for page in PAGES if any(examples_of(page))], ids=where)
def test_commands_print_what_the_page_shows(page, tmp_path):
    for command, shown in examples_of(page):
        folder = tmp_path / "copy"
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(ROOT / "examples", folder / "examples")
        seen = run_example(command, folder)
        assert alike(shown, seen), f"{where(page)}: $ {command}\n{seen}"


@pytest.mark.parametrize("page", [page for page in PAGES if blocks(page, "pycon")], ids=where)
def test_python_prompts_on_a_page_run(page):
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    text = "\n".join(blocks(page, "pycon"))
    runner.run(doctest.DocTestParser().get_doctest(text, {}, where(page), str(page), 0))
    assert runner.failures == 0


def test_python_on_a_page_is_a_test_that_passes_or_stands_in_the_package():
    sources = [path.read_text(encoding="utf-8") for path in (ROOT / "bracing").rglob("*.py")]
    found = [(page, block) for page in PAGES for block in blocks(page, "python")]
    assert found
    for page, block in found:
        if "def test_" in block:
            names: dict[str, object] = {}
            exec(compile(block, where(page), "exec"), names)
            for name, thing in list(names.items()):
                if name.startswith("test_"):
                    thing()
        else:
            assert any(block.strip() in source for source in sources), f"{where(page)}: {block[:60]}"


def test_the_rule_compares_what_is_shown_with_what_is_seen():
    assert alike("a 1\n...\nz", "a 1\nb\nc\nz")
    assert not alike("a 1\n...\nz", "a 2\nb\nz")
    assert not alike("a", "a\nb")
