"""Words no output may use, and things no file of the project may name."""

import ast
import hashlib
import lzma
import re
import subprocess
from functools import cache
from pathlib import Path

import pytest

from tests.house.tree import ROOT, modules, nodes, where, within

# A calculation never gives permission: an answer is within or over.
BANNED = re.compile(
    r"\b((un)?safe(ly|ty)?|(?<!what )holds(?! nothing)|good for|good to|guaranteed?|approved|certif\w+)\b",
    re.I,
)
# Sentences that use one of the words otherwise than as a verdict, each with its reason.
ALLOWED: dict[str, str] = {}
SHOWN_DOCSTRINGS = ("commands",)  # a command's docstring is its help screen
PRINTING = (
    "results",
    "job",
    "check",
    "stages",
    "reading",
    "many",
    "text",
    "drawing",
    "sheet",
    "commands",
)

# Joined here so that this file does not name them itself.
PLACES = tuple("/".join(parts) for parts in (("..", "shared"), ("", "work", ""), ("", "tmp", "")))
REGISTRIES = tuple(
    ".".join(parts) for parts in (("pypi", "org"), ("pythonhosted", "org"), ("anaconda", "org"))
)

# Names of makers and products, each as the first 16 hex digits of its SHA-256, lower case: a file that
# listed them would name them. To add one: hashlib.sha256(b"name").hexdigest()[:16].
BRANDS = frozenset((Path(__file__).parent / "names.txt").read_text(encoding="utf-8").split())


@cache
def texts():
    """Every text file git would take, with its content; of a packed one what is packed in it."""
    listed = subprocess.run(
        ("git", "ls-files", "--cached", "--others", "--exclude-standard"),
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    names = listed.stdout.splitlines() if listed.returncode == 0 else []
    paths = [ROOT / name for name in names] or [
        path for top in ("bracing", "tests", "docs", "examples") for path in (ROOT / top).rglob("*")
    ]
    found = []
    for path in sorted(set(paths)):
        if path.is_file() and path.suffix not in (".png", ".pdf", ".pyc", ".woff2"):
            content = path.read_bytes()
            found.append(
                (path, (lzma.decompress(content) if path.suffix == ".xz" else content).decode("utf-8"))
            )
    return found


def shown_strings(module, tree):
    """String literals a person may be shown, with their lines: docstrings only where they are help."""
    docstrings = set()
    if module.split(".")[0] not in SHOWN_DOCSTRINGS:
        for node in nodes(tree):
            if (
                isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
                and ast.get_docstring(node) is not None
            ):
                docstrings.add(id(node.body[0].value))
    for node in nodes(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings:
            yield node.lineno, node.value


def permissions(trees):
    """Strings of modules that print which use a word of permission."""
    return [
        f"bracing/{module.replace('.', '/')}.py:{line}: {text!r}"
        for module, tree in trees.items()
        if within(module, PRINTING)
        for line, text in shown_strings(module, tree)
        if BANNED.search(text) and text not in ALLOWED
    ]


def test_no_output_gives_permission():
    faults = permissions(modules())
    assert not faults, "\n".join(faults)


def test_the_rule_reads_what_is_printed_and_a_help_screen_and_no_other_docstring():
    text = "def f():\n    'It is safe.'\n    return 'good for 30 mph'\n"
    trees = {name: ast.parse(text) for name in ("commands.check", "text.check", "codes.asce7")}
    assert [fault.partition(": ")[0] for fault in permissions(trees)] == [
        "bracing/commands/check.py:2", "bracing/commands/check.py:3", "bracing/text/check.py:3",
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["this wall is safe", "good for 52 mph", "It holds.", "Approved", "unsafe"])
def test_the_rule_sees_a_permission(text):
    assert BANNED.search(text)


@pytest.mark.parametrize(
    "text",
    [
        "the threshold",
        "a household",
        "What holds it counts for nothing",
        "safekeeping of notes",
        "within the limit",
    ],
)
def test_the_rule_lets_other_words_be(text):
    assert not BANNED.search(text)


def test_packed_text_is_read_as_what_is_packed_in_it():
    packed = [text for path, text in texts() if path.suffix == ".xz"]
    assert packed
    assert all(text.startswith("{") for text in packed)


def places_in(text):
    """Places outside the project, and registries, that a text names."""
    return [word for word in (*PLACES, *REGISTRIES) if word in text]


def test_no_file_names_a_place_outside_the_project_or_a_registry():
    faults = [f"{where(path)}: {word}" for path, text in texts() for word in places_in(text)]
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("word", [*PLACES, *REGISTRIES])
def test_the_rule_sees_a_place_outside_the_project(word):
    assert places_in(f"see {word}notes") == [word]
    assert not places_in("see docs/notes and examples")


@cache
def digest(word):
    return hashlib.sha256(word.encode()).hexdigest()[:16]


def brand_words(text):
    return {word for word in set(re.findall(r"[a-z][a-z0-9-]{2,}", text.lower())) if digest(word) in BRANDS}


def test_no_file_names_a_maker_or_a_product():
    faults = [f"{where(path)}: {word}" for path, text in texts() for word in brand_words(text)]
    assert not faults, "\n".join(faults)


def test_the_rule_knows_its_words():
    """The hash of a word made up for this test is of the same form, and is not one of them."""
    assert all(re.fullmatch(r"[0-9a-f]{16}", digest) for digest in BRANDS)
    assert len(BRANDS) > 30
    assert not brand_words("an invented fastener of no maker")


def test_the_rule_sees_a_name_however_it_is_written(monkeypatch):
    monkeypatch.setitem(globals(), "BRANDS", {hashlib.sha256(b"invented-maker").hexdigest()[:16]})
    assert brand_words("Screws of Invented-Maker, 3 in") == {"invented-maker"}
    assert not brand_words("screws of no maker")
