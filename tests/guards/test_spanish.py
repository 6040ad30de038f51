"""A screen in Spanish has every number of the English, says that nobody has signed for it, and has English beneath."""

import re
import shutil
from concurrent.futures import ThreadPoolExecutor
from html.parser import HTMLParser

import pytest

from bracing.said import Kind, Quantity, Said
from bracing.text import es
from bracing.text.en_box import OF_BOXES
from bracing.text.page import Page
from tests.box_walls import deck_text, job_folder, ring_corners
from tests.cli.running import EXAMPLES, run, said

BENEATH = "En inglés, que es lo que vale (in English, which counts):"
NUMBER = re.compile(r"[0-9]+(?:[./-][0-9]+)*")
AT = ("--now", "2026-03-06 15:00")


def numbers(text):
    return NUMBER.findall(text)


def in_order(wanted, there):
    """Whether all that is wanted is there, in its order, whatever stands between."""
    left = iter(there)
    return all(each in left for each in wanted)


def halves(text):
    spanish, mark, english = text.partition(BENEATH)
    assert mark
    return spanish, english.strip()


@pytest.mark.parametrize(
    "words",
    [
        ("check", "short-wall-braced.toml", "--gust", "40"),
        ("check", "as-found.toml", "--gust", "30", "--storms"),
        ("check", "short-wall-braced.toml", "--links", "--assumed", "--one-missing", "--metric"),
        ("storm", "short-wall-braced.toml", "--gust", "45", "--short", *AT),
        ("storm", "as-found.toml", "--gust", "45", "--short", *AT),
    ],
)
def test_spanish_has_every_number_of_the_english_in_its_order_and_the_english_beneath(capsys, words):
    name, file, *more = words
    english = run(capsys, name, EXAMPLES / file, *more, "--language", "en")
    both = run(capsys, name, EXAMPLES / file, *more, "--language", "es")
    spanish, beneath = halves(both.out)
    assert both.status == english.status
    assert beneath == english.out.strip()
    assert spanish.startswith("SIN REVISAR")
    assert len(numbers(english.out)) >= 3
    assert in_order(numbers(english.out), numbers(spanish))
    assert "CLEAR OUT" not in spanish


@pytest.mark.parametrize("more", [(), ("--take-out", "south:B2"), ("--take-out", "yard:B1")])
def test_a_job_of_joined_walls_is_told_in_spanish_with_every_number_and_the_english_beneath(capsys, more):
    words = ("box", EXAMPLES / "five-walls", "--gust", "32", "--budget", "0", "--all", *more)
    english, both = (run(capsys, *words, "--language", language) for language in ("en", "es"))
    spanish, beneath = halves(both.out)
    assert both.status == english.status
    assert beneath.replace("--language es", "--language en") == english.out.strip()
    assert [line for line in spanish.splitlines() if "EN:" in line] == []
    assert len(numbers(english.out)) >= 2
    assert in_order(numbers(english.out), numbers(spanish))


def test_a_deck_a_wall_not_up_and_what_is_missing_are_told_in_spanish(capsys, tmp_path):
    """The language stands in job.toml; nothing of the screen is left in English but what is typed."""
    corners = ring_corners(done=("nailed",))
    folder = job_folder(
        tmp_path, corners=corners + deck_text(done=(), nail=None, edge_spacing='"8 in"'), studs=()
    )
    west, job = folder / "west.toml", folder / "job.toml"
    west.write_text(
        west.read_text(encoding="utf-8").replace("[wall]\n", '[wall]\nstate = "planned"\n', 1),
        encoding="utf-8",
    )
    job.write_text(
        job.read_text(encoding="utf-8").replace("[job]\n", '[job]\nlanguage = "es"\n', 1), encoding="utf-8"
    )
    spanish, beneath = halves(run(capsys, "box", folder, "--gust", "32", "--all").out)
    assert [line for line in spanish.splitlines() if "EN:" in line] == []
    assert "deck 1 no cuenta para nada" in said(spanish)
    assert "deck 1 counts for nothing" in said(beneath)
    assert in_order(numbers(beneath), numbers(spanish))


def test_every_word_of_joined_walls_has_its_spanish_with_the_same_places():
    for id, words in OF_BOXES.items():
        if id != "box-trace":  # a trace is written in English alone
            assert re.findall(r"{[^}]*}", es.WORDS[id]) == re.findall(r"{[^}]*}", words), id


def test_what_has_no_spanish_is_said_in_english_and_seen_to_be(monkeypatch):
    page, words = Page(language="es"), Said("limit-gust", gust=Quantity(39.0, Kind.GUST))
    assert page.said(words) == "Ráfaga límite: 39 mph."
    monkeypatch.delitem(es.WORDS, "limit-gust")
    monkeypatch.delitem(es.TERMS, "over")
    assert page.said(words) == "[EN: Limit gust: 39 mph.]"
    assert page.term("over") == "[EN: over]"


def test_every_id_of_a_screen_has_its_spanish(capsys):
    for file in ("short-wall-braced.toml", "as-found.toml"):
        for words in (
            ("check", EXAMPLES / file, "--gust", "40"),
            ("storm", EXAMPLES / file, "--gust", "45", "--short", *AT),
        ):
            spanish, _ = halves(run(capsys, *words, "--language", "es").out)
            left = [line for line in spanish.splitlines() if "EN:" in line]
            assert left == [], left


def test_job_toml_says_the_language_and_the_option_says_otherwise(capsys, tmp_path):
    wall = tmp_path / "wall.toml"
    shutil.copy(EXAMPLES / "as-found.toml", wall)
    (tmp_path / "job.toml").write_text('[job]\nlanguage = "es"\n', encoding="utf-8")
    assert "Ráfaga límite" in run(capsys, "check", wall).out
    assert "Ráfaga límite" not in run(capsys, "check", wall, "--language", "en").out


def test_another_language_is_refused_in_a_line(capsys):
    refused = run(capsys, "check", EXAMPLES / "as-found.toml", "--language", "fr")
    assert (refused.status, refused.out) == (2, "")
    assert "--language" in refused.err
    assert "en, es" in refused.err


def test_a_page_in_one_thread_is_not_the_language_of_another():
    words = Said("cautions-short")
    pages = [Page(language=language) for language in ("en", "es") * 20]
    with ThreadPoolExecutor(8) as pool:
        told = list(pool.map(lambda page: page.said(words), pages))
    assert told[::2] == [Page().said(words)] * 20
    assert told[1::2] == [es.WORDS["cautions-short"]] * 20


def test_start_asks_in_spanish_and_in_english(capsys, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    answers = iter(["?", "quit"])
    monkeypatch.setattr("builtins.input", lambda _: next(answers))
    asked = said(run(capsys, "start", "--language", "es").out)
    assert "SIN REVISAR" in asked
    spanish, english = asked.index("¿Cómo le dicen a esta pared?"), asked.index("What do you call this wall?")
    assert spanish < english
    assert "Encabeza cada página" in asked


class Texts(HTMLParser):
    """The words of a page, its English part apart."""

    def __init__(self):
        super().__init__()
        self.parts, self.where, self.skip, self.languages = {"es": "", "en": ""}, "es", 0, []

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        self.skip += tag in ("style", "script")
        if tag in ("html", "section") and "lang" in told:
            self.languages.append(told["lang"])
            self.where = told["lang"]

    def handle_endtag(self, tag):
        self.skip -= tag in ("style", "script")

    def handle_data(self, data):
        if not self.skip:
            self.parts[self.where] += f" {data}"


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    from bracing.reading.jobs import read_job
    from bracing.sheet.facts import gather
    from bracing.sheet.writing import page_of

    pytest.importorskip("jinja2")
    pytest.importorskip("matplotlib")
    job = read_job(EXAMPLES / "short-wall-braced.toml")
    facts = gather(job, Page(language="es"), gust=40.0, budget=0.5, rungs=False)
    texts = Texts()
    texts.feed(page_of(facts))
    return texts


def test_a_sheet_in_spanish_has_its_english_beneath_and_says_so(sheet):
    assert sheet.languages == ["es", "en"]
    assert "SIN REVISAR" in sheet.parts["es"]
    assert "SALGAN TODOS antes de una ráfaga pronosticada de 33 mph" in said(sheet.parts["es"])
    assert "CLEAR OUT before a forecast gust of 33 mph" in said(sheet.parts["en"])


def test_a_sheet_in_spanish_has_every_number_of_the_english_in_its_order(sheet):
    """But for the engineer's part, which stands in English alone."""
    crew = sheet.parts["en"].partition("For the engineer")[0]
    assert len(numbers(crew)) > 200
    assert in_order(numbers(crew), numbers(sheet.parts["es"]))
