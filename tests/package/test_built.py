"""The package as a stranger gets it: built, installed clean with only what it needs, run outside the source.

Once on the newest versions of what it needs and once on the oldest that pyproject.toml declares.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
# The oldest versions have no wheel for a newer Python, so that leg is run where they have one.
LEGS = ("newest", "oldest") if sys.version_info < (3, 13) else ("newest",)

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("package")]


def run(*words: str | Path, cwd: Path, ok: bool = True) -> str:
    """Run a program away from this environment's own packages; give what it printed."""
    env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COVERAGE"))}
    done = subprocess.run(
        [str(word) for word in words],
        cwd=cwd, env=env, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=900,
    )  # fmt: skip
    assert (done.returncode == 0) is ok, f"{words}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def core_at_oldest() -> list[str]:
    """The core dependencies, each pinned to the lower bound it declares."""
    bounds = [re.match(r"([\w-]+)>=([\d.]+)", line) for line in PROJECT["dependencies"]]
    assert all(bounds), "every core dependency declares its oldest version"
    return [f"{bound[1]}=={bound[2]}" for bound in bounds if bound[1] != "tzdata"]


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "hatchling", "build", "-d", folder, cwd=ROOT)
    (wheel,) = folder.glob("*.whl")
    (sdist,) = folder.glob("*.tar.gz")
    return {"wheel": wheel, "sdist": sdist}


@pytest.fixture(scope="module", params=LEGS)
def clean(request, built, tmp_path_factory) -> dict[str, Path]:
    """A new environment with the wheel and its core dependencies, and an empty folder to work in."""
    home = tmp_path_factory.mktemp(request.param)
    run(sys.executable, "-m", "venv", home / "venv", cwd=home)
    scripts = home / "venv" / ("Scripts" if os.name == "nt" else "bin")
    pins = core_at_oldest() if request.param == "oldest" else []
    run(scripts / "python", "-m", "pip", "install", "-q", built["wheel"], *pins, cwd=home)
    work = home / "an empty folder"
    work.mkdir()
    return {"python": scripts / "python", "bracing": scripts / "bracing", "work": work}


def test_the_wheel_has_the_data_and_the_types_and_no_tests(built):
    with zipfile.ZipFile(built["wheel"]) as archive:
        names = archive.namelist()
    in_source = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "bracing").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert in_source <= set(names)
    assert "bracing/py.typed" in names
    assert not [name for name in names if name.startswith(("tests", "docs", "examples"))]


def test_the_source_archive_has_what_a_contributor_needs(built):
    with tarfile.open(built["sdist"]) as archive:
        names = {name.split("/", 1)[1] for name in archive.getnames() if "/" in name}
    needed = {
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE",
        ".ci/run",
        ".mkdocs.yml",
        "tests/check.py",
    }
    assert needed <= names
    assert {path.relative_to(ROOT).as_posix() for path in (ROOT / "bracing" / "data").rglob("*.*")} <= names


def test_every_module_imports_with_only_the_core(clean):
    """Optional packages are not there, so a module that needs one as it loads would fail here."""
    code = (
        "import importlib, pkgutil, bracing\n"
        "names = [m.name for m in pkgutil.walk_packages(bracing.__path__, 'bracing.')]\n"
        "[importlib.import_module(name) for name in names if not name.endswith('__main__')]\n"
        "print(len(names), bracing.__version__, bracing.__file__)"
    )
    count, version, file = run(clean["python"], "-c", code, cwd=clean["work"]).split(maxsplit=2)
    assert int(count) > 30
    assert version in (ROOT / "bracing" / "_version.py").read_text(encoding="utf-8")
    assert str(ROOT) not in file


def test_published_values_come_out_of_the_installed_package(clean):
    code = (
        "from bracing.codes.asce7.velocity import velocity_pressure\n"
        "from bracing.job.lumber import design_values\n"
        "from bracing.job.fasteners import fastener\n"
        "print(round(float(velocity_pressure(100.0, kz=1.0)), 2),"
        " design_values('douglas fir-larch', 'No.2', '2x4', wet=False, load_duration=1.0).Fb,"
        " fastener('16d common').diameter)"
    )
    # ASCE 7-16 eq. 26.10-1, 0.00256 x 100^2; NDS Supplement Table 4A, 900 psi x 1.5; NDS Table L4, 0.162 in
    assert run(clean["python"], "-c", code, cwd=clean["work"]).split() == ["25.6", "1350.0", "0.162"]


def test_the_command_says_its_version(clean):
    assert PROJECT["name"] in run(clean["bracing"], "--help", cwd=clean["work"]).lower()
    version = run(clean["bracing"], "--version", cwd=clean["work"])
    found = re.search(r'__version__ = "(.+)"', (ROOT / "bracing" / "_version.py").read_text(encoding="utf-8"))
    assert found[1] in version


@pytest.mark.parametrize(
    ("words", "extra"),
    [
        (("sheet", "demo.toml", "--gust", "20", "--out", "demo.html"), "sheet"),
        (("sheet", "demo.toml", "--gust", "20", "--out", "demo.dxf"), "dxf"),
        (("walls", "walls.csv", "--gust", "20", "--dask", "local"), "many"),
    ],
)
def test_what_is_not_installed_is_named_with_its_extra(clean, words, extra):
    work = clean["work"]
    if not (work / "demo.toml").exists():
        run(clean["bracing"], "start", "demo.toml", "--template", "level", cwd=work)
        (work / "walls.csv").write_text("file\ndemo.toml\n", encoding="utf-8")
    told = json.loads(run(clean["bracing"], *words, "--json", cwd=work, ok=False))
    assert f"the extra {extra} of bracing" in told["errors"][0]["expected"]


def test_the_published_values_stand_on_these_versions(clean, tmp_path):
    """Every published value and unit test, from a copy of the tests, against the installed wheel."""
    for folder in ("tests", "docs", "examples"):  # everything but the source
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    run(clean["python"], "-m", "pip", "install", "-q", "pytest>=8", "hypothesis", "jsonschema", cwd=tmp_path)
    words = ("-q", "-p", "no:cacheprovider", "tests/published", "tests/unit")
    last = run(clean["python"], "-m", "pytest", *words, cwd=tmp_path).strip().splitlines()[-1]
    assert int(re.match(r"(\d+) passed", last)[1]) > 1000


def test_one_file_runs_on_a_laptop_without_a_network(built, tmp_path):
    """All it needs is in it: nothing is fetched, nothing of this environment is read, and the same words come out."""
    file = tmp_path / "bracing.pyz"
    run(
        sys.executable,
        "-m",
        "shiv",
        "-q",
        "--compressed",
        "-c",
        "bracing",
        "-o",
        file,
        built["wheel"],
        cwd=tmp_path,
    )
    shutil.copy(ROOT / "examples" / "short-wall-braced.toml", tmp_path)
    nowhere = "http://127.0.0.1:9"
    env = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "http_proxy": nowhere, "https_proxy": nowhere}
    words = ("check", "short-wall-braced.toml", "--gust", "30")
    alone = subprocess.run(
        (sys.executable, "-I", str(file), *words), cwd=tmp_path, env=env, capture_output=True, text=True, timeout=300,
    )  # fmt: skip
    assert alone.stderr == ""
    here = run(sys.executable, "-m", "bracing", *words, cwd=tmp_path)
    assert alone.stdout == here
    assert "CLEAR OUT before a forecast gust of" in here
