"""The notebooks of the manual run, cell by cell, each in one namespace, with nothing stored of what came out."""

import contextlib
import io
import json

import pytest

from tests.house.tree import ROOT, where

NOTEBOOKS = sorted((ROOT / "docs" / "notebooks").glob("*.ipynb"))
pytest.importorskip("pandas")
pytest.importorskip("matplotlib")


def cells(path):
    return json.loads(path.read_text(encoding="utf-8"))["cells"]


def test_there_are_three():
    assert [path.stem for path in NOTEBOOKS] == ["first-wall", "storm", "study"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=where)
def test_a_notebook_runs(path, monkeypatch):
    monkeypatch.chdir(ROOT)
    names: dict[str, object] = {}
    for cell in cells(path):
        if cell["cell_type"] == "code":
            with contextlib.redirect_stdout(io.StringIO()):
                exec(compile("".join(cell["source"]), where(path), "exec"), names)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=where)
def test_nothing_of_a_run_is_stored(path):
    for cell in cells(path):
        if cell["cell_type"] == "code":
            assert (cell["outputs"], cell["execution_count"]) == ([], None)
