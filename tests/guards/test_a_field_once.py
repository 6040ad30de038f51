"""A field of an input class is stated once: what reads, lists, documents and assumes it is derived."""

from __future__ import annotations

import attrs
import pytest
from attrs import frozen

from bracing.chain.assumed import assumptions, places, undeclared
from bracing.commands.wall_options import wall_options
from bracing.errors import InputError
from bracing.job.fields import Low, Option, declared, place_at, value_at, with_value
from bracing.job.fields import places as places_of
from bracing.job.job import Job, Site
from bracing.many.columns import NOT_CELLS, by_path, known_columns
from bracing.reading.jobs import Origin, assemble
from bracing.reading.options import options_of, tables_of_options
from bracing.reading.questions import QUESTIONS, Question
from bracing.reading.values import nested
from bracing.text.schema import wall_file_schema

WALL = {"length": "20 ft", "height": "8 ft"}


@frozen
class ShadedSite(Site):
    """A site with one field more, in a table that is there."""

    shade: float = declared(
        "length", "how far the next house stands off", default=600.0, least=12.0, most=6000.0,
        low=Low("nothing near by", 240.0, lambda job: job.site.exposure == "C"), option=Option("shade"),
    )  # fmt: skip


@frozen
class Crane:
    """A table of its own."""

    word: str = declared(
        "word", "near | far", default="near", one_of=("near", "far"), low=Low("the worse", "far"),
        option=Option("crane", "where the crane is"),
    )  # fmt: skip


@frozen(cache_hash=True)
class WiderJob(Job):
    """A job with both."""

    site: ShadedSite = declared("part", "where it stands", default=ShadedSite())
    crane: Crane = declared("part", "the crane", default=Crane())


def job_of(**tables):
    return assemble({"wall": dict(WALL), **tables}, Origin("demo.toml", ""), WiderJob)


def test_the_reader_takes_it_and_holds_it_to_its_range():
    job = job_of(site={"shade": "30 ft"}, crane={"word": "far"})
    assert (job.site.shade, job.crane.word) == (360.0, "far")
    assert {"site.shade", "crane.word"} <= job.declared
    with pytest.raises(InputError) as refusal:
        job_of(site={"shade": "1 in", "shad": "3 ft"}, crane={"word": "here"})
    told = {(fault.file, fault.field, fault.value, fault.expected) for fault in refusal.value.faults}
    assert told == {
        ("demo.toml", "site.shade", "1 in", "from 1 ft to 500 ft"),
        ("demo.toml", "site.shad", "3 ft", "a known key; near: shade, stands"),
        ("demo.toml", "crane.word", "here", "one of: near, far"),
    }
    with pytest.raises(InputError):
        attrs.evolve(ShadedSite(), shade=float("nan"))


def test_an_option_gives_it_and_its_help_says_what_it_is():
    given = options_of(WiderJob)
    assert given["shade"].paths == ("site.shade",)
    tables, faults = tables_of_options({"length": "20ft", "height": "8ft", "shade": "9 ft"}, WiderJob)
    assert not faults
    assert assemble(tables, Origin("command line", ""), WiderJob).site.shade == 108.0
    offered = {name: about for name, _, about in wall_options(WiderJob)}
    assert offered["shade"] == "how far the next house stands off"
    assert offered["crane"] == "where the crane is"
    assert "shade" not in options_of()


def test_a_list_has_every_field_for_a_column():
    """Columns are the options and the paths of the fields, both walked down from the class."""
    assert {*options_of(), *by_path()} <= set(known_columns())
    plain = {place.path for place in places_of(Job) if place.inside is None and "[]" not in place.path}
    left = {path for path in plain - set(known_columns()) if not path.startswith("built.")}
    assert {place_at(Job, path).kind for path in left} <= set(NOT_CELLS)
    assert "shade" in options_of(WiderJob)


def test_the_schema_of_the_file_has_it():
    properties = wall_file_schema(WiderJob)["properties"]
    assert properties["site"]["properties"]["shade"]["description"] == "how far the next house stands off"
    assert properties["crane"]["properties"]["word"]["enum"] == ["near", "far"]
    assert "shade" not in wall_file_schema()["properties"]["site"]["properties"]


def test_it_is_assumed_where_it_plays_a_part_and_nobody_said():
    rows = {row.field: row for row in assumptions(WiderJob)}
    assert (rows["site.shade"].usual, rows["site.shade"].why) == (240.0, "nothing near by")
    job = job_of()
    assert {"site.shade", "crane.word"} <= {row.field for row in undeclared(job)}
    assert places(job, rows["site.shade"]) == ("site.shade",)
    assert value_at(with_value(job, "site.shade", 99.0), "site.shade") == 99.0
    sheltered = job_of(site={"exposure": "B"}, crane={"word": "near"})
    assert not {"site.shade", "crane.word"} & {row.field for row in undeclared(sheltered)}


def test_one_option_gives_each_field_once():
    paths = [path for given in options_of().values() for path in given.paths]
    assert len(paths) == len(set(paths))
    assert all(given.about for given in options_of().values())


def test_every_question_is_about_fields_there_are_and_its_low_answer_is_their_low_value():
    asked = [question for question in QUESTIONS if question.of and question.otherwise is None]
    assert len(asked) >= 12
    for question in asked:
        typed = question.read(question.low)
        assert set(typed) == set(question.of), question.key
        job = assemble(
            nested({**{f"wall.{key}": text for key, text in WALL.items()}, **typed}), Origin("x", "")
        )
        for path in question.of:
            assert value_at(job, path) == place_at(Job, path).field.default, (question.key, path)


def test_a_question_about_a_new_field_needs_its_text_only(monkeypatch):
    monkeypatch.setattr("bracing.reading.questions.Job", WiderJob)
    monkeypatch.setattr("bracing.reading.answers.Job", WiderJob)
    question = Question(key="crane", ask="Where is the crane?", why="It matters.", of=("crane.word",))
    assert (question.low, question.read("FAR")) == ("near", {"crane.word": "far"})
