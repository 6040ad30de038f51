"""Words no output may use, and things no file of the project may name."""

import ast
import csv
import hashlib
import lzma
import re
import subprocess
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from tests.house.tree import ROOT, modules, nodes, where, within

# A calculation never gives permission: an answer is within or over.
BANNED = re.compile(
    r"\b((un)?safe(ly|ty)?|(?<!what )holds(?! nothing)|good for|good to|guaranteed?|approved|certif\w+)\b",
    re.I,
)
# The same in each language there are words in: a verdict of one is no verdict of another.
BANNED_IN = {
    "en": BANNED,
    "es": re.compile(
        r"\b((in)?segur\w*|asegur\w*|aguant\w*|sost(ien|uv|en(?!id))\w*|soport\w*|resist\w*|garanti\w*|aprob\w*|"
        r"aprueb\w*|certific\w*|confiable\w*|a salvo|(buen[oa]s?|sirven?|apt[oa]s?) para|sin (peligro|riesgo)|"
        r"no (hay|corre) (peligro|riesgo))\b",
        re.I,
    ),
}
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
    "site",
    "commands",
)

# What no file may name is kept as the first 16 hex digits of the SHA-256 of the words, small letters: a list that could
# be read would name it. To add one: hashlib.sha256(b"name").hexdigest()[:16].
PLACES = frozenset(  # folders outside the project, and registries
    (
        "9d5e33ea197579b6",
        "0c9a453fad615c83",
        "e9671acd244849c5",
        "94a6b447580330f9",
        "a4aa2ac280bb8d1a",
        "8b5bb5eb9d758455",
        "51c6b9f69c48a75b",
    )
)
# Names of makers and products, of a word or two.
BRANDS = frozenset((Path(__file__).parent / "names.txt").read_text(encoding="utf-8").split())

MESSAGES_BEFORE = frozenset(  # digests of messages that were there before they were looked through
    (
        "03d24a9b17909645",
        "62a5c1f1df9219a6",
        "8127a31fc9658d20",
        "82ca0b5c37b80f3f",
        "850e20cef7f05e5a",
        "94fcf7a5619e03d4",
        "987c77d8b706c858",
        "a1b806c9c866541a",
        "a821bd98403e73a1",
        "e2274d7df8fbd863",
    )
)


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
        if any(banned.search(text) for banned in BANNED_IN.values()) and text not in ALLOWED
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


@cache
def digest(word):
    return hashlib.sha256(word.encode()).hexdigest()[:16]


def places_in(text):
    """Folders outside the project, at the root or beside it, and registries, that a text names."""
    text = "\n".join(set(text.split()))  # a place has no blank in it, and most words stand there often
    folders = re.findall(r"(?<![\w.*)}\]])(?:\.\.)?/[a-z]+(?![\w.])", text)
    hosts = re.findall(r"[a-z0-9-]+\.[a-z]+(?![\w.])", text)
    return sorted({word for word in (*folders, *hosts) if digest(word) in PLACES})


def brand_words(text):
    """Names of makers and products in a text, of a word, of two, or of two joined."""
    words = re.findall(r"[^\W\d_][^\W_]*(?:-[^\W_]+)*", text.lower())
    pairs = {f"{one} {after}" for one, after in set(pairwise(words))}
    return {word for word in {*words, *pairs} if digest(word) in BRANDS}


@cache
def messages():
    """Every message of the history, as git tells it; none where there is no history."""
    told = subprocess.run(
        ("git", "log", "--format=%B%x00"), cwd=ROOT, capture_output=True, text=True, check=False
    )  # fmt: skip
    return [text.strip() for text in told.stdout.split("\0") if text.strip()] if told.returncode == 0 else []


ISSUE = re.compile(
    r"\bissue #?[0-9]", re.IGNORECASE
)  # a message says what it is for, not where it was asked for


def out_of_place(message):
    """What a message names that is no part of the project."""
    return [*brand_words(message), *places_in(message), *ISSUE.findall(message)]


def test_no_file_names_a_place_outside_the_project_or_a_registry():
    faults = [f"{where(path)}: {word}" for path, text in texts() for word in places_in(text)]
    assert not faults, "\n".join(faults)


def test_no_file_names_a_maker_or_a_product():
    faults = [f"{where(path)}: {word}" for path, text in texts() for word in brand_words(text)]
    assert not faults, "\n".join(faults)


def test_no_message_of_the_history_names_what_is_no_part_of_the_project():
    """Those that were there before this was asked stand as they are, told by their digests, and only those."""
    found = {digest(message): out_of_place(message) for message in messages() if out_of_place(message)}
    assert not set(found) - MESSAGES_BEFORE, found


def test_the_rule_knows_its_words():
    """The hash of a word made up for this test is of the same form, and is not one of them."""
    assert all(re.fullmatch(r"[0-9a-f]{16}", digest) for digest in BRANDS | PLACES | MESSAGES_BEFORE)
    assert len(BRANDS) > 300
    assert not brand_words("an invented fastener of no maker")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("invented-maker", "Screws of Invented-Maker, 3 in"),
        ("inventedmaker", "(InventedMaker)"),
        ("invented maker", "an Invented  Maker's screw"),
        ("inv8", "inv8 screws"),
    ],
)
def test_the_rule_sees_a_name_however_it_is_written(monkeypatch, name, text):
    monkeypatch.setitem(globals(), "BRANDS", {digest(name)})
    assert brand_words(text) == {name}
    assert out_of_place(text) == [name]
    assert not brand_words("screws of no maker")


@pytest.mark.parametrize(
    ("place", "text"),
    [
        ("../attic", "see ../attic/notes"),
        ("/attic", "see /attic/notes"),
        ("/attic", '"/attic"'),
        ("attic.example", "https://files.attic.example/simple"),
    ],
)
def test_the_rule_sees_a_place_outside_the_project(monkeypatch, place, text):
    monkeypatch.setitem(globals(), "PLACES", {digest(place)})
    assert places_in(text) == out_of_place(text) == [place]
    assert not places_in("see docs/attic/notes, {folder}/attic and examples")


def test_the_rule_sees_where_a_change_was_asked_for():
    assert out_of_place("Issue 7: cut it")
    assert not out_of_place("Issues of lumber")


# -- nothing is copied sentence by sentence --------------------------------------------------------------

QUOTED = re.compile(r'"{1,2}((?:[^\s",;]+ ){4,}[^\s",;]+)"{1,2}')


def quotations(text):
    """What of a note stands in quotation marks and is five words long or longer."""
    return [
        words
        for line in csv.reader(text.splitlines())
        for words in (QUOTED.findall(line[-1]) if line else ())
    ]


def test_notes_beside_published_values_are_in_our_own_words():
    folder = ROOT / "tests" / "published"
    faults = {
        path.name: found
        for path in sorted(folder.glob("*.csv"))
        if (found := quotations(path.read_text(encoding="utf-8")))
    }
    assert faults == {}


def test_the_rule_sees_a_sentence_that_is_quoted():
    row = 'a,b,"seen in print (""it is to be no more than that"")"'
    assert quotations(row) == ["it is to be no more than that"]
    assert quotations('a,b,"as ""end nails"" there"') == []
