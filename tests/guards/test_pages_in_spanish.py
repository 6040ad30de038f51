"""The pages at the wall in Spanish: the same numbers, the English beneath each line until somebody signs."""

from __future__ import annotations

import html
import json
import re
import shutil
from collections import Counter

import pytest

pytest.importorskip("flask")
pytest.importorskip("segno")
pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

from bracing.site.desk import desk_of, wall_id
from bracing.text import es
from tests.cli.running import EXAMPLES
from tests.site_pages import pages_of, read

NAME = "short-wall-braced"
JOB = '[job]\nname = "Lot 14"\ntime_zone = "America/Chicago"\n'
PATHS = ("/", "/w/ID", "/w/ID/walk", "/w/ID/walk/B1", "/w/ID/walk/at-ties", "/w/ID/walk/all", "/w/ID/walk/finish",
         "/w/ID/tag", "/storm", "/log")  # fmt: skip
BENEATH = re.compile(r'>([^<>]+) <span class="en" lang="en">([^<]+)</span>')
# A clock, a token and a form's key differ from one asking to the next.
NUMBERS = re.compile(r"[0-9]+(?:[./'-][0-9]+)*")


def folder_of(tmp_path, language):
    made = tmp_path / language
    made.mkdir()
    shutil.copy(EXAMPLES / f"{NAME}.toml", made)
    (made / "job.toml").write_text(f'{JOB}language = "{language}"\n', encoding="utf-8")
    return made


@pytest.fixture
def texts(tmp_path):
    """Every page, in both languages."""
    found = {}
    for language in ("en", "es"):
        with pages_of(folder_of(tmp_path, language)) as (_, _, visitor):
            here = visitor()
            for path in PATHS:
                answer = here.get(path.replace("ID", wall_id(tmp_path / f"{NAME}.toml")))
                assert answer.status_code == 200, path
                found[language, path] = here.text
    return found


def test_each_line_has_its_english_beneath_and_the_same_numbers(texts):
    for path in PATHS:
        page = texts["es", path]
        pairs = [tuple(map(html.unescape, pair)) for pair in BENEATH.findall(page)]
        assert len(pairs) >= 8, path
        for told, english in pairs:
            assert Counter(NUMBERS.findall(told)) == Counter(NUMBERS.findall(english)), (path, told, english)
        assert '<html lang="es">' in page, path
        assert "[EN:" not in page, path


def test_nothing_of_the_english_page_is_lost(texts):
    """Every word of it stands beneath, in its order, among the Spanish."""
    for path in PATHS:
        english, both = (
            [word for word in read(texts[language, path])[0].split() if not re.search(r"[0-9]", word)]
            for language in ("en", "es")
        )
        left = iter(both)
        missing = [word for word in english if word.isalpha() and not any(word == other for other in left)]
        assert len(missing) == 0, (path, missing[:5])


def test_the_english_is_gone_where_somebody_has_signed(tmp_path, monkeypatch):
    monkeypatch.setattr(es, "SIGNED", "M. Ruiz, 2026-05-01")
    with pages_of(folder_of(tmp_path, "es")) as (_, _, visitor):
        here = visitor()
        here.get("/")
        assert 'class="en"' not in here.text
        assert "Paredes, la peor primero" in here.text
        assert "Walls, worst first" not in here.text


def test_a_server_takes_the_language_of_its_job(tmp_path):
    assert [desk_of(folder_of(tmp_path, language)).language for language in ("en", "es")] == ["en", "es"]


def test_ties_are_asked_once_of_every_brace_and_the_least_counts(tmp_path):
    """A terminal knows one word for the ties of all braces: of three fields of one name all but the last were lost."""
    folder = folder_of(tmp_path, "en")
    id_ = wall_id(folder / f"{NAME}.toml")
    with pages_of(folder) as (desk, _, visitor):
        here = visitor()
        here.get(f"/w/{id_}/walk/at-ties")
        assert re.findall(r'name="(fact-\d+)"', here.text) == ["fact-0"]
        here.answer(id_, "at-ties", do="keep", **{"fact-0": "0"})
        assert "ties 0" in here.get(f"/w/{id_}/walk").get_data(as_text=True)
        worked = desk.walls([folder / f"{NAME}.toml"])[folder / f"{NAME}.toml"]
        assert max(brace.ties for brace in worked.job.braces) == 0
        assert worked.job.reported == ("ties 0 (lead framer)",)


def test_one_day_of_the_log(tmp_path):
    with pages_of(folder_of(tmp_path, "en")) as (_, _, visitor):
        here = visitor()
        here.get("/log.json")
        rows = json.loads(here.text)["rows"]
        day = rows[0]["at"][:10]
        here.get(f"/log?day={day}")
        assert here.text.count('<th scope="row">') == len(rows) > 0
        here.get("/log?day=2020-01-01")
        assert here.text.count('<th scope="row">') == 0
        assert here.get("/log?day=yesterday").status_code == 400
        assert "a date, such as 2026-03-06" in here.text
