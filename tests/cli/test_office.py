"""A list as an office keeps it: sheets and semicolons, columns of its own, walls like a file; laid out, and written."""

from __future__ import annotations

import csv
import io
import json
import re
import time
import zipfile
from importlib import resources

import pytest
from html5lib import HTMLParser

from bracing.check import check
from bracing.errors import InputError, MissingExtraError
from bracing.job.fields import value_at
from bracing.many import written
from bracing.many.columns import OWN, SHORT, about_column, by_path, job_of_row, known_columns, read_head
from bracing.many.kept import COLUMNS, ListAsked
from bracing.many.rows import BAD_ROW, check_list, read_list
from bracing.many.written import page_of_results, read_results
from bracing.reading.jobs import job_from_text, read_job
from bracing.reading.options import OPTIONS
from tests.cli.running import EXAMPLES, ROOT, run
from tests.house.tree import ROOT as TREE

BRACED = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
LIST = (
    "Lot;name;like;end nails;Joist span;sheathing laps;into framing;superintendent;verdict\n"
    "12;A;braced.toml;;;;;Ann, B;call first\n"
    "12;B;braced.toml;1;;;no;;\n"
    "13;C;braced.toml;3;12 ft;none;yes;=HYPERLINK(1);\n"
    "13;D;nowhere.toml;;;;;;\n"
)
ASKED = ListAsked(30.0)


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "braced.toml").write_text(BRACED, encoding="utf-8")
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")
    return tmp_path


def rows(path):
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def checked(folder, **asked):
    target = folder / "out.csv"
    check_list(folder / "list.csv", target, ListAsked(30.0, folder=str(folder), **asked))
    return rows(target)


# -- what a list may be ------------------------------------------------------------------------------------


def test_a_wall_like_a_file_counts_what_the_row_says_and_else_the_file(folder):
    found = checked(folder)
    plain = check(job_from_text(BRACED, "braced.toml"), gust=30.0, effects=False)
    assert (found[0]["verdict"], found[0]["limit_gust_mph"]) == (plain.verdict, str(plain.limit_whole))
    text = re.sub(r"end_nails = \d+", "end_nails = 1", BRACED)
    assert "into_framing = true" in text
    other = check(
        job_from_text(text.replace("into_framing = true", "into_framing = false"), "b.toml"), gust=30.0
    )
    assert found[1]["limit_gust_mph"] == str(other.limit_whole)
    assert found[2]["limit_gust_mph"] != found[0]["limit_gust_mph"]  # nothing laps its plate
    assert found[3]["verdict"] == BAD_ROW
    assert "nowhere.toml" in found[3]["why"]


def test_columns_of_the_office_s_own_are_kept_beside_those_of_the_results(folder):
    found = checked(folder)
    assert [row["list.superintendent"] for row in found][:2] == ["Ann, B", ""]
    assert found[0]["list.verdict"] == "call first"
    assert [row["lot"] for row in found] == ["12", "12", "13", "13"]
    assert found[2]["list.superintendent"] == "'=HYPERLINK(1)"  # never a formula in a file we write


@pytest.mark.parametrize("name", ["brase", "joist spann", "lenght", "wall.studs.sise", "lots"])
def test_a_misspelt_column_is_not_taken_for_one_s_own(name):
    with pytest.raises(InputError, match="begins with x-"):
        read_head(["length", name], file="list.csv")
    assert read_head(["length", f"x-{name}"], file="list.csv").own == (OWN + name.replace(" ", "_"),)


def test_a_list_that_says_nothing_of_its_walls_is_refused():
    with pytest.raises(InputError, match="says what the wall is"):
        read_head(["Lot", "superintendent"], file="list.csv")


def test_every_short_name_is_a_field_and_a_cell_of_each_kind_is_read(folder):
    assert set(SHORT.values()) <= set(by_path())
    assert not set(SHORT) & set(OPTIONS)
    given = {
        "like": "braced.toml", "end_nails": "3", "top_spliced": "yes", "plate_strap_lb": "250", "joist_span": "11 ft",
        "wall.layers": "osb 7/16, housewrap", "site.lean": "0.03", "sheathing_laps": "none", "cleat_sides": "2",
        "brace": "48in:head 7ft:back 7ft:2x6:left:4/4/5; 96in:head 7ft:back 7ft:2x6:left:4/4/5",
    }  # fmt: skip
    job = job_of_row(given, folder)
    expected = {
        "wall.top_plate.end_nails": 3, "wall.top_plate.spliced": True, "wall.plate.strap_at_brace_lb": 250.0,
        "floor.joists.span": 132.0, "wall.layers": ("osb 7/16", "housewrap"), "site.lean": 0.03,
        "wall.plate.sheathing_laps": "none", "kit.cleat.sides": 2,
    }  # fmt: skip
    assert {path: value_at(job, path) for path in expected} == expected
    assert set(expected) <= job.declared
    assert [brace.stud_at for brace in job.braces] == [48.0, 96.0]
    with pytest.raises(InputError) as caught:
        job_of_row(given | {"end_nails": "many", "top_spliced": "maybe", "joist_span": "11"}, folder)
    assert len(caught.value.faults) == 3


def test_the_file_changed_is_a_row_worked_out_again(folder):
    first = checked(folder)
    (folder / "braced.toml").write_text(
        BRACED.replace('spacing = "16 in"', 'spacing = "12 in"', 1), encoding="utf-8"
    )
    counts = check_list(folder / "list.csv", folder / "out.csv", ListAsked(30.0, folder=str(folder)))
    assert (counts.before, counts.again) == (1, 3)  # all but the row of no file
    assert rows(folder / "out.csv")[0]["key"] != first[0]["key"]


def test_a_row_says_why(folder):
    found = {row["wall"]: row for row in checked(folder)}
    assert found["A"]["verdict"] != "within" or found["A"]["why"] == ""
    fast = folder / "fast.csv"
    check_list(folder / "list.csv", fast, ListAsked(60.0, folder=str(folder)))
    why = rows(fast)[0]["why"]
    first = check(job_from_text(BRACED, "braced.toml"), gust=60.0).gives_first
    assert f"{first.link} at {first.mark}" in why
    far = folder / "far.csv"
    check_list(folder / "list.csv", far, ListAsked(150.0, folder=str(folder)))
    assert "120 mph" in rows(far)[0]["why"]
    assert COLUMNS[-1] == "why"


# -- laid out ----------------------------------------------------------------------------------------------


def test_a_list_is_laid_out_and_its_braces_are_a_column_that_can_be_checked(tmp_path):
    head = "name,length,height,studs,species,grade,layers,joists,stock,head_fastener,floor_fastener\n"
    screws = "structural screw 0.22x3,structural screw 0.22x5"
    wall = f",{{}},8 ft,2x6@16in,SPF,No.2,osb 7/16,2x10@16in away,2x6@16ft,{screws}\n"
    (tmp_path / "list.csv").write_text(
        head + "A" + wall.format("16 ft") + "B" + wall.format("6 in"), encoding="utf-8"
    )
    found = checked(tmp_path, lay=True)
    assert found[0]["verdict"] == "within"
    assert int(found[0]["limit_gust_mph"]) >= 30
    assert found[0]["laid_out"].count("head") == int(found[0]["braces"]) >= 2
    assert found[0]["needed_too"]
    assert found[1]["verdict"] == BAD_ROW
    quoted = found[0]["laid_out"].replace('"', '""')
    again = f'{head.strip()},brace\nA{wall.format("16 ft").strip()},"{quoted}"\n'
    (tmp_path / "list.csv").write_text(again, encoding="utf-8")
    (tmp_path / "out.csv").unlink()
    assert checked(tmp_path)[0]["gives_first"] != "no braces on file"
    (row,) = read_list(io.StringIO(again, newline=""), file="list.csv")[1]
    job = job_of_row(row.cells, tmp_path)
    assert len(job.braces) == int(found[0]["braces"])
    assert {brace.foot_on for brace in job.braces} <= {"joist", "deck", "block", "cross cleat"}


@pytest.mark.slow
def test_layouts_cut_off_and_taken_up_again_end_in_the_same_files(tmp_path, capsys):
    pytest.importorskip("openpyxl")
    head = "name;lot;length;height;studs;layers;stock;my own\n"
    lines = [f"W{k};{k // 2};{10 + k} ft;8 ft;2x6@24in;osb 7/16;2x6@16ft;note {k}\n" for k in range(4)]
    source, out = tmp_path / "list.csv", tmp_path / "out.csv"
    source.write_text(head + "".join(lines), encoding="utf-8")
    book, page = tmp_path / "r.xlsx", tmp_path / "r.html"
    words = (
        "walls",
        source,
        "--gust",
        25,
        "--lay-out",
        "--out",
        out,
        "--xlsx",
        book,
        "--html",
        page,
        "--overwrite",
    )
    run(capsys, *words, "--workers", 1)
    whole = [path.read_bytes() for path in (out, book, page)]
    assert {row["verdict"] for row in rows(out)} == {"within"}
    for cut, workers in ((0.2, 1), (0.5, 2), (0.8, 1)):
        out.write_bytes(whole[0][: int(cut * len(whole[0]))])
        run(capsys, *words, "--workers", workers)
        assert [path.read_bytes() for path in (out, book, page)] == whole


def test_where_no_layout_stands_the_row_says_why(tmp_path):
    (tmp_path / "list.csv").write_text(
        "name,length,height,studs,stock\nA,10 ft,8 ft,2x6@24in,2x6@6ft\n", encoding="utf-8"
    )
    (found,) = checked(tmp_path, lay=True)
    assert (found["verdict"], found["limit_gust_mph"], found["braces"]) == ("over", "0", "")
    assert "stock" in found["why"]


# -- as an office reads it ---------------------------------------------------------------------------------


def results_of(folder):
    checked(folder)
    return read_results(folder / "out.csv", title="list.csv <b>", gust=30.0, laid=False)


def test_the_page_is_strict_html_with_every_wall_worst_first(folder):
    results = results_of(folder)
    page = page_of_results(results)
    HTMLParser(strict=True).parse(page)
    assert "<b>" not in page
    assert not re.search(r"https?://(?!www\.w3\.org)", page)  # needs nothing else
    cells = re.findall(r"<tr>(.*?)</tr>", page)[1:]
    shown = [re.findall(r"<td[^>]*>(.*?)</td>", row) for row in cells]
    assert shown[0][1] == "D"  # the bad row before all others
    limits = [int(row["limit_gust_mph"]) for row in results.worst_first if row["limit_gust_mph"]]
    assert limits == sorted(limits)
    assert {row[1] for row in shown} == {"A", "B", "C", "D"}
    assert "Never shelter beside the wall" in page


def test_the_chart_has_a_bar_as_long_as_each_gust(folder):
    results = results_of(folder)
    widths = [float(w) for w in re.findall(r'<rect [^>]*width="([0-9.]+)"', written.chart(results))]
    good = [row for row in results.worst_first if row["limit_gust_mph"]]
    gusts = [float(row[name]) for row in good for name in ("limit_gust_mph", "clear_out_gust_mph")]
    far = 10.0 * (max(30.0, *gusts) // 10.0 + 1.0)
    assert widths == [pytest.approx(written.PLOT * gust / far, abs=0.06) for gust in gusts]


def test_a_workbook_is_the_list_and_the_same_bytes_each_time(folder, capsys):
    openpyxl = pytest.importorskip("openpyxl")
    command = (
        "walls",
        folder / "list.csv",
        "--gust",
        30,
        "--workers",
        1,
        "--out",
        folder / "out.csv",
        "--overwrite",
    )
    status, *_ = run(capsys, *command, "--xlsx", folder / "one.xlsx", "--html", folder / "one.html")
    assert status == 2  # of the row that is no wall
    time.sleep(1.1)  # a workbook says to the second when it was saved
    run(capsys, *command, "--xlsx", folder / "two.xlsx")
    assert (folder / "one.xlsx").read_bytes() == (folder / "two.xlsx").read_bytes()
    book = openpyxl.load_workbook(folder / "one.xlsx")
    assert book.sheetnames == ["Worst first", "All columns", "Read this"]
    first, every, _ = book.worksheets
    assert first.freeze_panes == "A2"
    assert first.auto_filter.ref == first.dimensions
    assert all(cell.font.bold for cell in first[1])
    told = rows(folder / "out.csv")
    names = [cell.value for cell in every[1]]
    for row, sheet in zip(told, every.iter_rows(min_row=2, values_only=True), strict=True):
        assert {
            name: "" if value is None else str(value) for name, value in zip(names, sheet, strict=True)
        } == row
    assert {type(cell.value) for cell in first["E"][1:]} <= {int, type(None)}
    assert not [
        cell for sheet in book for line in sheet.iter_rows() for cell in line if cell.data_type == "f"
    ]


def test_a_workbook_is_read_as_the_same_list_in_csv(folder):
    openpyxl = pytest.importorskip("openpyxl")
    book, plain = openpyxl.Workbook(), LIST.replace("=HYPERLINK(1)", "Bo")
    (folder / "list.csv").write_text(plain, encoding="utf-8")
    for line in csv.reader(io.StringIO(plain), delimiter=";"):
        book.active.append([int(cell) if cell.isdigit() else cell or None for cell in line])
    book.save(folder / "list.xlsx")
    check_list(folder / "list.xlsx", folder / "book.csv", ListAsked(30.0, folder=str(folder)))
    mine, theirs = rows(folder / "book.csv"), checked(folder)
    assert [{**row, "key": "", "line": ""} for row in mine] == [
        {**row, "key": "", "line": ""} for row in theirs
    ]


def test_a_file_that_is_no_workbook_is_refused(tmp_path, capsys):
    pytest.importorskip("openpyxl")
    (tmp_path / "list.xlsx").write_bytes(b"no workbook")
    with zipfile.ZipFile(tmp_path / "other.xlsx", "w") as made:
        made.writestr("a", "b")
    for name in ("list.xlsx", "other.xlsx", "none.xlsx"):
        status, out, err = run(capsys, "walls", tmp_path / name, "--gust", 30, "--workers", 1)
        assert (status, out) == (2, "")
        assert len(re.findall(r": got ", err)) == 1


@pytest.mark.parametrize("words", [("--xlsx", "a.csv"), ("--html", "out.csv"), ("--html", "list.csv")])
def test_what_cannot_be_written_is_refused_before_anything_is_worked_out(folder, capsys, words):
    option, name = words
    target = folder / "out.csv"
    status, out, err = run(
        capsys, "walls", folder / "list.csv", "--gust", 30, "--out", target, option, folder / name
    )
    assert (status, out, target.exists()) == (2, "", False)
    assert f"{option}: got" in err


def test_without_its_package_a_workbook_says_how_to_get_it(folder, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "openpyxl", None)
    with pytest.raises(MissingExtraError, match=r"bracing\[office\]"):
        check_list(folder / "list.xlsx", folder / "out.csv", ASKED)


# -- the page of the manual --------------------------------------------------------------------------------


def test_the_manual_has_every_column_and_what_it_says_of_it():
    page = (TREE / "docs" / "office.md").read_text(encoding="utf-8")
    for name in (*OPTIONS, *SHORT, "file", "like", "lot"):
        assert re.search(rf"^\| `{name}` \|", page, re.MULTILINE), name
    assert set(known_columns()) >= set(OPTIONS)
    for name in SHORT:
        told = about_column(name).replace("|", "or")  # which parts the cells of the page
        assert f"| `{name}` | {told}" in page, name
    for name in COLUMNS:
        assert f"`{name}`" in page, name


def test_the_manual_has_every_option_as_its_help_says_it(capsys):
    page = (TREE / "docs" / "office.md").read_text(encoding="utf-8")
    told = page.partition("## Every option")[2].partition("\n## ")[0]
    rows = {cells[0]: cells[1] for cells in re.findall(r"^\| (.+?) \| (.+) \|$", told, re.MULTILINE)[1:]}
    helped = run(capsys, "walls", "--help").out.partition("Options:")[2].partition("Example")[0]
    options = re.findall(r"^  (?:LIST|(?:-\w, )?--[a-z-]+)", helped, re.MULTILINE)
    assert len(options) > 12
    assert [re.sub("`", "", name) for name in rows] == [name.strip() for name in options]
    unbroken = "".join(helped.split())  # a line may end anywhere in it
    assert [name for name, about in rows.items() if "".join(about.split()) not in unbroken] == []


def test_the_manual_has_every_key_of_the_json_with_its_kind():
    """Against the schema that is shipped, to which answers are held elsewhere."""
    schema = json.loads(resources.files("bracing").joinpath("data/schemas/walls.json").read_text("utf-8"))
    kinds = {
        "string": "text",
        "number": "number",
        "integer": "count",
        "array": "list of text",
        "object": "counts by name",
    }
    keys = {key: kinds[told.get("type", "string")] for key, told in schema["properties"].items()}
    page = (TREE / "docs" / "office.md").read_text(encoding="utf-8").partition("## As JSON")[2]
    assert dict(re.findall(r"^\| `(\w+)` \| ([a-z ]+) \|", page, re.MULTILINE)) == keys


def test_the_example_of_the_manual_is_a_list(capsys, tmp_path):
    page = (TREE / "docs" / "office.md").read_text(encoding="utf-8")
    text = re.search(r"```csv\n(.*?)```", page, re.DOTALL)[1]
    (tmp_path / "list.csv").write_text(text, encoding="utf-8")
    (tmp_path / "kitchen.toml").write_text(BRACED, encoding="utf-8")
    status, *_ = run(capsys, "walls", tmp_path / "list.csv", "--gust", 30, "--workers", 1)
    assert status in (0, 1, 4)
    assert not [row for row in rows(tmp_path / "list.checked.csv") if row["verdict"] == BAD_ROW]
    assert read_job(ROOT / "examples" / "short-wall-braced.toml").braces
