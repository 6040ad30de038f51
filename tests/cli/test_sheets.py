"""`bracing sheet` and `bracing trace` from the command line: files by suffix, folders, status, faults."""

from __future__ import annotations

import pytest

from tests.cli.running import EXAMPLES, run, said
from tests.sheet_walls import text_of
from tests.wall_files import wall_file

pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "slab.toml"
    path.write_text(text_of("slab-wall"), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("suffix", "start"),
    [(".html", b"<!DOCTYPE"), (".svg", b"<?xml"), (".png", b"\x89PNG"), (".csv", b"order,mark")],
)
def test_a_sheet_is_written_by_its_suffix(capsys, tmp_path, wall, suffix, start):
    out = tmp_path / f"sheet{suffix}"
    ran = run(capsys, "sheet", wall, "--gust", "20", "-o", out)
    assert (ran.status, ran.err) == (0, "")
    assert out.read_bytes().lstrip().startswith(start)
    first, storm, last = ran.out.splitlines()
    assert first.startswith("Shop wall on slab, PLAN: WITHIN at 20 mph. CLEAR OUT before ")
    assert storm.startswith("  With thunderstorms in the forecast: ")
    assert last == f"wrote {out}"


@pytest.mark.slow
def test_a_sheet_is_written_as_pdf_and_dxf(capsys, tmp_path, wall):
    pytest.importorskip("weasyprint")
    pytest.importorskip("ezdxf")
    for suffix, start in ((".pdf", b"%PDF"), (".dxf", b"  0\nSECTION")):
        out = tmp_path / f"sheet{suffix}"
        assert run(capsys, "sheet", wall, "--gust", "20", "-o", out).status == 0
        assert out.read_bytes().replace(b"\r", b"").startswith(start)


def test_over_its_limit_is_status_one_and_the_sheet_is_written(capsys, tmp_path, wall):
    out = tmp_path / "sheet.html"
    ran = run(capsys, "sheet", wall, "--gust", "70", "-o", out, "--json")
    assert ran.status == 1
    assert ran.json["verdict"] == "over"
    assert ran.json["files"] == [str(out)]
    assert "OVER" in out.read_text(encoding="utf-8")


def test_without_a_name_the_sheet_is_named_after_the_wall(capsys, tmp_path, wall, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(capsys, "sheet", wall).status == 0
    assert (tmp_path / "slab.html").exists()


@pytest.mark.parametrize("name", ["sheet.doc", "sheet"])
def test_a_suffix_that_is_none_is_refused_before_any_work(capsys, wall, tmp_path, name):
    ran = run(capsys, "sheet", wall, "--gust", "40", "-o", tmp_path / name)
    assert ran.status == 2
    assert ".html" in ran.err
    assert "Traceback" not in ran.err


def test_a_place_that_cannot_be_written_is_bad_input(capsys, wall, tmp_path):
    ran = run(capsys, "sheet", wall, "--gust", "40", "-o", tmp_path / "none" / "x.csv")
    assert ran.status == 2
    assert "-o" in ran.err


def test_a_wall_without_braces_and_gust_is_bad_input(capsys, tmp_path):
    ran = run(capsys, "sheet", EXAMPLES / "slab-wall.toml", "-o", tmp_path / "x.html")
    assert ran.status == 2
    assert "--gust" in ran.err


def test_a_folder_gets_an_index_and_a_page_each(capsys, tmp_path, wall):
    (tmp_path / "north.toml").write_text(text_of("as-found"), encoding="utf-8")
    out = tmp_path / "out"
    ran = run(capsys, "sheet", tmp_path, "--gust", "20", "-o", out, "--no-pdf")
    assert ran.status == 1
    assert sorted(path.name for path in out.iterdir()) == ["index.html", "north.html", "slab.html"]
    assert ran.out.index("North wall") < ran.out.index("Shop wall")
    index = (out / "index.html").read_text(encoding="utf-8")
    assert index.index('href="north.html"') < index.index('href="slab.html"')
    rows = run(
        capsys, "sheet", tmp_path, "--gust", "20", "-o", out, "--no-pdf", "--overwrite", "--json"
    ).json["walls"]
    assert [row["verdict"] for row in rows] == ["over", "within"]


def test_every_fault_of_every_file_of_a_folder_is_told_at_once(capsys, tmp_path):
    for name in ("a", "b"):
        (tmp_path / f"{name}.toml").write_text('[wall]\nname = "W"\nlength = 3', encoding="utf-8")
    ran = run(capsys, "sheet", tmp_path, "--gust", "40", "-o", tmp_path / "out")
    assert ran.status == 2
    assert "a.toml" in ran.err
    assert "b.toml" in ran.err
    assert not (tmp_path / "out").exists()


def test_a_trace_tells_the_sums(capsys, tmp_path):
    path = wall_file(tmp_path)
    ran = run(capsys, "trace", path, "--gust", "40")
    assert ran.status in (0, 1)
    assert "Velocity pressure at the wall's highest point, q" in said(ran.out)
    assert "^2 = " in next(line for line in ran.out.splitlines() if " × 40^2" in line)
    assert "[ASCE 7-16 eq. 26.10-1" in ran.out
    assert "reaches its limit at" in ran.out
    assert "Never shelter beside the wall" in said(ran.out)
    checked = run(capsys, "check", path, "--gust", "40", "--json").json
    traced = run(capsys, "trace", path, "--gust", "40", "--json").json
    assert traced["limit_gust_mph"] == checked["limit_gust_mph"]
    assert int(traced["links"][0]["limit_gust_mph"]) == checked["limit_gust_mph"]
    assert traced["links"][0]["link"] == checked["gives_first"]["link"]


def test_a_trace_of_a_wall_beyond_the_envelope_is_for_an_engineer(capsys):
    ran = run(capsys, "trace", "--length", "36 ft", "--height", "40 ft", "--gust", "40")
    assert ran.status == 1
    assert "ENGINEER" in ran.out
