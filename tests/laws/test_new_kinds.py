"""A kind of fastener that holds by a published equation is a row; a new equation adds one function."""

from __future__ import annotations

import pytest

from bracing.codes.nds.fastener import TOGETHER
from bracing.codes.nds.withdrawal import EQUATIONS, equation
from bracing.job.fasteners import THREADS, kind_names, kind_of
from bracing.sources import shipped
from bracing.sums import formula
from bracing.units import Inch, PoundPerInch
from tests.cli.running import run
from tests.guards.test_own_fasteners import OURS, OWN
from tests.wall_files import wall_text

# A driven pin that yields at its shank, holds as a lag screw does, and meets shear and pull by the cosine rule.
PIN = {
    "withdrawal": "lag", "together": "hankinson", "bending_yield": "nail", "wet": "screw", "end_grain": 0.0,
    "shank": True, "depth": 5.0, "tip_counts": True, "root_of_diameter": 1.0, "head_of_diameter": 2.0,
    "thread": "whole", "source": "JUDGEMENT a row of a test", "known": "judgement",
}  # fmt: skip


@pytest.fixture
def walled(tmp_path, monkeypatch):
    """A wall whose cleats are fastened to the floor with a kind the shipped table does not have."""

    def made(kind, **changes):
        monkeypatch.setitem(shipped("fasteners")["kind"], kind, PIN | changes)
        own = OURS.replace(OWN, "Our pin").replace('kind = "nail"', f'kind = "{kind}"')
        assert f'kind = "{kind}"' in own
        path = tmp_path / "w.toml"
        path.write_text(
            wall_text(floor_fastener="Our pin", joist="joist", lie="flat") + own, encoding="utf-8"
        )
        return path

    yield made
    kind_of.cache_clear()
    EQUATIONS.pop("spiral", None)


def steps(capsys, path, link="cleat to floor"):
    answer = run(capsys, "trace", path, "--gust", "20", "--json").json
    (found,) = [each for each in answer["links"] if each["link"] == link]
    return {step["what"].partition(",")[0]: step for step in found["steps"]}


def test_every_row_names_equations_and_rules_that_are_there():
    held, named = 0, set()
    for name in kind_names(typed=False):
        kind = kind_of(name)
        assert {kind.withdrawal, kind.deformed or kind.withdrawal} <= set(EQUATIONS), name
        assert kind.together in TOGETHER, name
        assert kind.thread in THREADS, name
        assert kind.bending_yield in shipped("fasteners")["bending_yield"], name
        held, named = held + 1, named | {kind.withdrawal, kind.deformed or kind.withdrawal}
    assert held == 5
    assert named == set(EQUATIONS), "an equation no row names guards nothing"


def test_a_new_kind_that_names_a_published_formula_is_a_row(capsys, walled):
    path = walled("pin")
    checked = run(capsys, "check", path, "--gust", "20", "--json")
    assert checked.status in (0, 1, 4)
    assert checked.json["limit_gust_mph"] > 0
    said = steps(capsys, path)
    assert " × 0.5^(3 / 2) × " in said["Withdrawal of a lag screw per inch of thread"]["sum"]
    assert said["Withdrawal of a lag screw per inch of thread"]["source"].startswith("NDS 2018 12.2-1")
    assert any("12.4-1" in step["source"] for step in said.values())


def test_a_new_equation_adds_one_function(capsys, walled):
    @equation("spiral")
    @formula
    def spiral_withdrawal(G: float, D: Inch) -> PoundPerInch:
        """Give the withdrawal of a spiral pin per inch: W = 900 G^3 D.

        Returns:
            Reference withdrawal W [lb/in].

        Source: JUDGEMENT, an equation of a test.
        """
        return 900.0 * G**3 * D

    said = steps(capsys, walled("spiral pin", withdrawal="spiral", together="linear"))
    assert said["Withdrawal of a spiral pin per inch"]["sum"].startswith("900 × 0.5^3 × ")
    assert "12.4-2" in said["Share of a fastener used by shear and pull together"]["source"]


def test_a_kind_that_is_no_row_is_refused_with_the_rows_there_are(capsys, tmp_path):
    path = tmp_path / "w.toml"
    own = OURS.replace(OWN, "Our pin").replace('kind = "nail"', 'kind = "pin"')
    path.write_text(wall_text(floor_fastener="Our pin") + own, encoding="utf-8")
    done = run(capsys, "check", path, "--gust", "20")
    assert done.status == 2
    assert "one of: nail, wood screw, structural screw, lag" in " ".join(done.err.split())
