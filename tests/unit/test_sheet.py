"""The page of one wall and of a job: well formed, self-contained, its numbers those of the check, names only words."""

from __future__ import annotations

import csv
import io
import json
import math
import re
import sys
from typing import NamedTuple

import pytest
from attrs import evolve

from bracing.chain.cuts import cut_of
from bracing.check import check
from bracing.errors import InputError, MissingExtraError
from bracing.job.fields import MOST_LETTERS
from bracing.job.job import Built, Found, all_seen
from bracing.reading.jobs import job_from_text, read_job
from bracing.reading.source import wall_folder
from bracing.results import CAUTIONS
from bracing.said import Verdict
from bracing.sheet.facts import GUSTS, Facts, checklists, gather
from bracing.sheet.folder import MOST_WALLS, FolderWall, index_page, read_walls, stand, write_folder
from bracing.sheet.rows import brace_rows, distances, gust_ladder, stick_for
from bracing.sheet.writing import Part, page_of, suffix_of, write_sheet
from bracing.text.page import PLAIN
from bracing.text.quantities import ENGLISH, in_words
from bracing.units import tape
from tests.cli.running import EXAMPLES
from tests.house.test_words import BANNED
from tests.sheet_walls import NAMES, braced, text_of

pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")
html5lib = pytest.importorskip("html5lib")
pytestmark = pytest.mark.xdist_group("sheet")  # one worker makes the pages, once

HOSTILE = (
    "<script>document.title='x'</script>",
    '"><img src="x" onerror="alert(1)">',
    "{{ 7 * 7 }}",
    "\u05e7\u05d9\u05e8 \u05d3\u05e8\u05d5\u05dd",
    "x" * MOST_LETTERS,
    "</style><style>*{display:none}",
)


@pytest.fixture(scope="module", params=NAMES)
def facts(request):
    return gather(braced(request.param), gust=30.0, rungs=request.param == "slab-wall")


class Shown(NamedTuple):
    """A page made once for all that is looked for on it."""

    facts: Facts
    text: str
    words: str


@pytest.fixture(scope="module")
def shown(facts):
    text = page_of(facts)
    return Shown(facts, text, words_of(text))


@pytest.fixture(scope="module")
def slab():
    return gather(braced("slab-wall"), gust=45.0, rungs=False)


@pytest.fixture(scope="module")
def plain(slab):
    return page_of(slab)


def tree_of(text):
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def words_of(text):
    """Everything a reader sees, one blank between words."""
    tree = tree_of(text)
    for gone in ("style", "script"):
        for parent in list(tree.iter()):
            for child in list(parent):
                if child.tag == gone:
                    parent.remove(child)
    return " ".join(" ".join(tree.itertext()).split())


def test_the_page_is_well_formed_and_small(shown):
    tree_of(shown.text)
    assert (
        len(shown.text.encode("utf-8")) < 1_100_000
    )  # eight braces on 60 ft, each drawn, and the engineer's curves


def test_a_strict_parser_sees_a_fault():
    with pytest.raises(html5lib.html5parser.ParseError):
        tree_of("<!DOCTYPE html><html><body><p></div></body></html>")


def test_the_page_asks_for_nothing_from_elsewhere(shown):
    text, tree = shown.text, tree_of(shown.text)
    for element in tree.iter():
        for name in ("src", "href", "srcset", "data", "action", "poster"):
            if name in element.attrib and element.tag != "use":
                assert element.attrib[name].startswith("data:image/svg+xml;base64,"), (element.tag, name)
    assert not re.search(r"@import|url\((?!data:)", text)
    policy = next(e.attrib["content"] for e in tree.iter("meta") if "http-equiv" in e.attrib)
    assert policy.startswith("default-src 'none'; ")
    assert "unsafe" not in policy
    assert not [e for e in tree.iter() if any(name.startswith("on") or name == "style" for name in e.attrib)]


def test_the_page_says_what_the_check_says(shown):
    facts, text, result = shown.facts, shown.words, shown.facts.result
    assert facts.job.state in text
    if result.clear_out:
        assert f"CLEAR OUT before a forecast gust of {result.clear_out} mph" in text
        assert f"({result.clear_out_on_meter} mph on a meter 5 ft above deck)" in text
    else:
        assert "CLEAR OUT now and stay out" in text
    assert f"Limit gust: {result.limit_whole} mph" in text
    assert f"With any one brace missing: {result.one_missing} mph" in text
    assert result.gives_first.link in text
    inside, outside = (tape(each) for each in result.zone)
    assert f"Keep clear {inside} from the wall on the brace side, {outside} outside" in text
    assert all(caution in text for caution in in_words(CAUTIONS))
    for brace in facts.job.braces:
        assert f"{brace.mark} {tape(brace.stud_at)}" in text
    assert facts.job.sha256 in text
    assert all(each.field in text for each in result.assumed)


def test_the_clear_out_gust_stands_before_the_limit(shown):
    text = shown.words
    assert text.index("CLEAR OUT") < text.index("Limit gust")


def test_every_part_of_a_sheet_is_there(shown):
    text = shown.words
    for part in (
        "Zone, and who does what", "Reads the wind", "Clears the zone", "Void if", "Leaves out impact",
        "Gusts, within and over", "The wall from the brace side", "The floor from above", "The zone to clear", "Braces",
        "A card a brace", "Fasteners", "Order of work, and cut list", "To bring", "Needed too", "For the clipboard",
        "For the engineer", "Take-down order", "Planned and found", "Initials", "Log", "Assumed",
        "Links", "Trace of the sums", "Cautions", "Identity", "SHA-256", "Editions followed",
        *(each.title for each in checklists()),
        *(item for each in checklists() for item in each.items),
    ):  # fmt: skip
        assert part in text, part


def test_no_page_gives_permission(shown):
    assert not BANNED.search(shown.words)


def test_the_ladder_is_the_limit_gust_by_gust(facts):
    rows = gust_ladder(facts)
    assert [row.cells[0] for row in rows] == [f"{gust} mph" for gust in GUSTS]
    for gust, row in zip(GUSTS, rows, strict=True):
        again = check(facts.job, gust=float(gust), effects=False).verdict if gust in (20, 45) else None
        assert again is None or row.cells[1] == again
        assert row.cells[2] == ("within" if gust <= min(facts.result.missing) else "over")


def test_within_and_over_meet_at_the_limit():
    assert [Verdict.at(gust, 40) for gust in (39.0, 40.0, 41.0)] == ["within", "within", "over"]


def test_the_page_is_the_same_each_time(slab, plain):
    assert page_of(slab) == plain


@pytest.mark.parametrize("first", [0, 2, 4])
def test_hostile_names_stay_words(slab, plain, first):
    """Each is a mark, where it is not the wall's name or in the file's; of a page with all of them at once."""
    job = slab.job
    name, other, *marks = HOSTILE[first:] + HOSTILE[:first]
    braces = (
        tuple(evolve(brace, mark=mark) for brace, mark in zip(job.braces, marks, strict=False))
        + job.braces[len(marks) :]
    )
    file = other * 6  # longer than a name may be
    hostile = evolve(job, wall=evolve(job.wall, name=name), file=file, braces=braces)
    text = page_of(gather(hostile, gust=45.0, rungs=False))
    tree = tree_of(text)
    for tag in ("script", "style", "img"):
        assert len(list(tree.iter(tag))) == len(list(tree_of(plain).iter(tag)))
    title = next(tree.iter("h1"))
    assert "".join(title.itertext()) == name
    words = words_of(text)
    assert [each for each in (name, *marks) if " ".join(each.split()) not in words] == []


def test_as_built_shows_the_walk(slab):
    job = slab.job
    built = Built(
        when="Fri 4 pm",
        by="lead carpenter",
        seen=all_seen(job),
        found=(Found("B2", "foot not in a joist"),),
        planned=(job.braces[1],),
    )
    text = words_of(page_of(gather(evolve(job, built=built), gust=45.0, rungs=False)))
    assert "AS BUILT" in text
    assert "Walked Fri 4 pm by lead carpenter" in text
    assert "foot not in a joist" in text
    assert text.count("as planned") >= len(job.braces) - 1


def test_beyond_the_envelope_the_page_says_engineer(slab):
    job = slab.job
    high = evolve(job, wall=evolve(job.wall, top=((0.0, 500.0), (360.0, 500.0))))
    text = page_of(gather(high, gust=45.0))
    tree_of(text)
    words = words_of(text)
    assert "For an ENGINEER" in words
    assert "Limit gust" not in words
    assert "Trace" not in words


def test_storm_rungs_are_on_the_page():
    facts = gather(braced("slab-wall"), gust=45.0)
    text = words_of(page_of(facts))
    assert facts.ladder is not None
    if facts.ladder.covers:
        assert ENGLISH.gust(facts.ladder.steps[-1].limit) in text
        assert facts.ladder.steps[-1].limit >= 58.0
    else:
        assert facts.ladder.why_not in text


def test_a_wall_without_braces_needs_a_gust():
    bare = job_from_text('[wall]\nname = "W"\nlength = "20 ft"\nheight = "9 ft"', "bare.toml")
    with pytest.raises(InputError, match="--gust"):
        gather(bare, gust=None)


@pytest.mark.slow
def test_a_wall_without_braces_is_laid_out():
    text = (text_of("slab-wall")).partition("[[brace]]")[0]
    facts = gather(job_from_text(text, "slab.toml"), gust=40.0, budget=1.0, rungs=False)
    words = words_of(page_of(facts))
    assert facts.layout is not None
    assert facts.result.verdict == "within"
    assert "Needed too" in words
    assert "To bring" in words
    for each in facts.needed:
        assert ENGLISH.said(each) in words
    added = [each for each in facts.layout.needed if not each.id.startswith("chosen-")]
    assert [each for each in added if each not in facts.needed and not each.id.startswith("remedy-")] == []


def test_csv_rows_are_the_braces(tmp_path, slab):
    text = write_sheet(slab, tmp_path / "a.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [row["mark"] for row in rows] == [brace.mark for brace in slab.job.braces]
    for row, brace in zip(rows, slab.job.braces, strict=True):
        assert float(row["stud from LEFT in"]) == pytest.approx(brace.stud_at, abs=1e-4)
        assert float(row["head in"]) == pytest.approx(brace.head, abs=1e-4)
        assert float(row["angle deg"]) == pytest.approx(math.degrees(brace.angle), abs=0.005)
        assert row["clear-out mph of the wall"] == str(slab.result.clear_out)


@pytest.mark.parametrize("stiffener", ["none", "T"])
def test_the_csv_gives_the_limit_with_each_brace_up_and_no_tie_row_yet(tmp_path, slab, stiffener):
    """Tie rows go on last; a 2x6 as long as these is over 75 without one, unless a second stick makes it a T."""
    job = evolve(slab.job, braces=tuple(evolve(brace, stiffener=stiffener) for brace in slab.job.braces))
    untied = tuple(evolve(brace, ties=0) for brace in job.braces)
    text = write_sheet(gather(job, gust=45.0, rungs=False), tmp_path / "a.csv").read_text(encoding="utf-8")
    said = [int(row["limit mph with it up and no tie row"]) for row in csv.DictReader(io.StringIO(text))]
    alone = [check(evolve(job, braces=untied[: k + 1]), effects=False) for k in range(len(untied))]
    assert said == [each.limit_whole for each in alone]
    assert (said[-1] > 0) is (stiffener == "T")


def changed(slab, **fields):
    """The slab wall's page with its first brace changed."""
    job = evolve(slab.job, braces=(evolve(slab.job.braces[0], **fields), *slab.job.braces[1:]))
    result = check(job, gust=45.0, effects=False)
    return evolve(slab, result=result, cuts=tuple(cut_of(job, brace) for brace in job.braces))


def test_a_brace_that_holds_nothing_shows_no_limit_of_its_own(slab):
    """Unfastened at its head it is never loaded; the gust its piece of plate takes is not a limit of the brace."""
    first, second, *_ = brace_rows(changed(slab, head_fasteners=0))
    assert first.cells[-1] == "counts for nothing"
    assert first.limit is None  # nothing for the slider to call within
    assert second.cells[-1] == f"{second.limit} mph"


def test_a_wall_that_can_move_shows_no_forces_on_its_braces(slab):
    """As in the text: what its braces would carry is not known, and 0 lb is not what they carry."""
    job = evolve(slab.job, braces=tuple(evolve(brace, head_fasteners=0) for brace in slab.job.braces))
    facts = evolve(slab, result=check(job, gust=45.0, effects=False))
    assert not facts.result.evaluation.held
    assert {row.cells[8:] for row in brace_rows(facts)} == {
        ("-", "-", "counts for nothing, limit gust 0 mph")
    }


def test_a_foot_past_the_left_end_is_a_number_in_the_csv(tmp_path, slab):
    """Lapped left of the first stud, 1 1/2 in thick as its brace: the middle of the foot is 0.75 - 1.5 in from LEFT."""
    facts = changed(slab, stud_at=0.75, lap_side="left")
    text = write_sheet(facts, tmp_path / "a.csv").read_text(encoding="utf-8")
    assert next(csv.DictReader(io.StringIO(text)))["foot from LEFT in"] == "-0.7500"


def test_no_cell_of_the_csv_is_a_formula(tmp_path, slab):
    job = slab.job
    marked = evolve(job, braces=(evolve(job.braces[0], mark='=cmd|"x"'), *job.braces[1:]))
    text = write_sheet(gather(marked, gust=45.0, rungs=False), tmp_path / "a.csv").read_text(encoding="utf-8")
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert not [cell for cell in cells if cell[:1] in "=+@" and cell]


def test_distances_are_rounded_up():
    job = braced("slab-wall")
    said = distances(job, "gun nail 0.131x3", PLAIN)
    assert [part.rpartition(" ")[0].split()[0] for part in said.split(", ")] == [
        "end",
        "edge",
        "in",
        "between",
    ]
    from bracing.codes.nds.spacing import least_spacing
    from bracing.job.fasteners import fastener

    kept = least_spacing(fastener("gun nail 0.131x3"), load="parallel", end="tension", prebored=True)
    inches = [sum(map(_inches, part.split()[-2:])) for part in said.replace('"', "").split(", ")]
    for shown, least in zip(inches, (kept.end, kept.edge, kept.in_row, kept.between_rows), strict=True):
        assert least - 1e-9 <= shown < least + 1.0 / 16.0


def _inches(word):
    if re.fullmatch(r"[0-9]+/[0-9]+", word):
        over, under = word.split("/")
        return int(over) / int(under)
    return float(word) if word.isdecimal() else 0.0


def test_the_shortest_stick_that_is_long_enough_is_named():
    job = braced("slab-wall")
    assert stick_for(job, job.braces[0], 150.0, page=PLAIN) == "16 ft"
    assert stick_for(job, job.braces[0], 193.0, page=PLAIN) == "20 ft"
    assert stick_for(job, job.braces[0], 300.0, page=PLAIN) == "longer than any on hand"


@pytest.mark.parametrize("name", ["x.toml", "x", "x.htm", "x.docx"])
def test_another_suffix_is_refused(tmp_path, name):
    with pytest.raises(InputError, match=r"\.html"):
        suffix_of(tmp_path / name)


def test_a_file_that_cannot_be_written_is_a_fault(tmp_path, slab):
    for suffix in (".html", ".csv"):
        with pytest.raises(InputError, match="written"):
            write_sheet(slab, tmp_path / "none" / f"x{suffix}")


def test_a_missing_pdf_package_is_named_with_its_extra(tmp_path, slab, monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(MissingExtraError, match=r"bracing\[pdf\]"):
        write_sheet(slab, tmp_path / "a.pdf")


FIRST = (
    "CLEAR OUT", "Limit gust:", "With any one brace missing:", "Gusts, within and over", "20 mph", "58 mph",
    "Zone, and who does what", "Keep clear", "Void if", "Leaves out impact", "Reads the wind", "Clears the zone",
    "The zone to clear", "The wall from the brace side",
)  # fmt: skip


@pytest.mark.slow
def test_page_one_of_the_paper_is_what_is_acted_on(tmp_path, facts):
    """State, gusts, zone, who does what, ladder and elevation, all on the first sheet of paper."""
    pytest.importorskip("weasyprint")
    pypdf = pytest.importorskip("pypdf")
    pages = pypdf.PdfReader(write_sheet(facts, tmp_path / "a.pdf")).pages
    first = " ".join(pages[0].extract_text().split())
    assert first.startswith(f"{facts.job.wall.name} {facts.job.state} ")
    assert [part for part in FIRST if part not in first] == []
    assert facts.result.gives_first.link in first


def test_the_front_of_the_page_comes_before_its_tables(shown):
    """On a phone one part follows another: clear-out and verdict, the picture, then all else; the engineer's last."""
    text = shown.words
    first = (
        "CLEAR OUT",
        "The wall from the brace side",
        "Limit gust:",
        "Gusts, within and over",
        "Zone, and who does",
    )
    rest = "A card a brace", "Order of work", "For the clipboard", "For the engineer", "Braces, with the"
    places = [text.index(part) for part in (*first, *rest)]
    assert places == sorted(places)


def pdf_text(path):
    pypdf = pytest.importorskip("pypdf")
    reader = pypdf.PdfReader(path)
    return len(reader.pages), " ".join(" ".join(page.extract_text() for page in reader.pages).split())


@pytest.mark.slow
def test_the_parts_of_the_pdf_have_the_words_of_the_page(tmp_path, slab):
    pytest.importorskip("weasyprint")
    texts = {part: pdf_text(write_sheet(slab, tmp_path / f"{part}.pdf", part=part)) for part in Part}
    pages, crew = texts[Part.SHEET]
    assert pages <= 4
    assert f"page 1 of {pages}" in crew
    assert (tmp_path / "crew.pdf").exists() is False
    assert pdf_text(write_sheet(slab, tmp_path / "crew.pdf")) == (pages, crew)
    own = {
        Part.SHEET: ("A card a brace", "Order of work, and cut list", "Needed too", "Head, foot and plate, to scale"),
        Part.CLIPBOARD: ("Take-down", "Planned and found", "Stop work", "Log"),
        Part.ENGINEER: (
            "Trace of the sums", "SHA-256", "ASSUMED", *(in_words(one.sentence) for one in slab.trace.links),
        ),
    }  # fmt: skip
    for part, words in own.items():
        text = texts[part][1]
        assert (
            f"CLEAR OUT before a forecast gust of {slab.result.clear_out} mph" in text
            or part == Part.ENGINEER
        )
        assert slab.job.wall.name in text
        for other, others in own.items():
            assert [each for each in others if each in text] == (list(words) if other == part else []), part
    assert "drag, or use the arrow keys" not in crew


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("job")
    for name in ("slab-wall", "as-found"):
        (place / f"{name}.toml").write_text(text_of(name), encoding="utf-8")
    return place


def test_a_job_is_indexed_worst_first(folder, tmp_path):
    walls = stand(read_walls(wall_folder(folder).files), gust=40.0)
    assert [wall.job.wall.name for wall in walls] == ["North wall, as found", "Shop wall on slab"]
    files = write_folder(walls, tmp_path / "out", with_pdf=False)
    assert [file.name for file in files] == ["index.html", "as-found.html", "slab-wall.html"]
    index = files[0].read_text(encoding="utf-8")
    tree = tree_of(index)
    assert [a.attrib["href"] for a in tree.iter("a")] == ["as-found.html", "slab-wall.html"]
    text = words_of(index)
    assert text.index("North wall, as found") < text.index("Shop wall on slab")
    assert "over" in text
    assert not BANNED.search(text)


@pytest.mark.slow
def test_a_job_goes_into_one_pdf(folder, tmp_path):
    pytest.importorskip("weasyprint")
    walls = stand(read_walls(wall_folder(folder).files), gust=40.0)
    (file,) = write_folder(walls, tmp_path / "job.pdf")
    pages, text = pdf_text(file)
    assert 5 <= pages <= 9
    assert text.index("Walls of this job, worst first") < text.index("A card a brace")
    assert text.count("Order of work, and cut list") == 2
    assert "Trace of the sums" not in text
    (file,) = write_folder(walls, tmp_path / "job.pdf", part=Part.ENGINEER)
    assert pdf_text(file)[1].count("Trace of the sums") == 2


def test_a_wall_without_a_layout_stands_first_with_its_reason():
    job = braced("slab-wall")
    walls = (FolderWall(job, None, "no stock is long enough"),)
    text = words_of(index_page(walls))
    assert "no stock is long enough" in text
    assert "none found" in text


def test_a_folder_without_walls_and_one_with_faults_are_refused(tmp_path):
    with pytest.raises(InputError, match="a folder with wall files in it"):
        wall_folder(tmp_path)
    with pytest.raises(InputError, match="got a folder with 201 wall files; expected 200 at most"):
        read_walls((tmp_path / "a.toml",) * (MOST_WALLS + 1))
    for name in ("a", "b"):
        (tmp_path / f"{name}.toml").write_text('[wall]\nname = "W"\nlength = 3', encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_walls(wall_folder(tmp_path).files)
    assert {fault.file.rpartition("/")[2] for fault in caught.value.faults} == {"a.toml", "b.toml"}


def test_json_of_a_trace_can_be_written(slab):
    again = json.loads(json.dumps(in_words(slab.trace), allow_nan=False))
    assert again["schema"].startswith("bracing.trace")
    assert len(again["links"]) == len(slab.trace.links)


def test_the_page_says_where_its_work_is_too_little_for_a_thunderstorm():
    """58 mph are what thunderstorms are planned for, and their wind rises less with height than the page's."""
    job = read_job(str(EXAMPLES / "short-wall-braced.toml"))
    plain, stormy = gather(job, gust=40.0), gather(job, gust=40.0, thunderstorm=True)
    assert plain.ladder is not None
    after = check(plain.ladder.steps[-1].job, thunderstorm=True, effects=False)
    assert after.limit < 58.0
    assert plain.ladder_in_storms == after.limit
    assert f"in their wind its limit gust is {int(after.limit)} mph after all of it" in page_of(plain)
    assert stormy.ladder_in_storms is None
    assert "NOT ENOUGH FOR THUNDERSTORMS" not in page_of(stormy)
    assert check(stormy.ladder.steps[-1].job, thunderstorm=True, effects=False).limit >= 58.0
