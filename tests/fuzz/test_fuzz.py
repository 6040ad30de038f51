"""Cases of the fuzzer with every run of the tests, the same ones each time; many more as a proof."""

import pytest

from tests.fuzz.__main__ import run_batch
from tests.fuzz.cases import make_case
from tests.fuzz.child import judge

pytestmark = pytest.mark.xdist_group("fuzz")  # the cases are run once, by one worker
SEED, COUNT, MANY = 7, 160, 20_000


@pytest.fixture(scope="module")
def told():
    return list(run_batch(SEED, 0, COUNT))


def test_nothing_typed_breaks_it(told):
    assert [line for line in told if "wrong" in line] == []


@pytest.mark.proof
def test_nothing_of_twenty_thousand_typed_breaks_it():
    assert [line for line in run_batch(SEED + 1, 0, MANY) if "wrong" in line] == []


def test_every_case_was_run_and_not_only_refused(told):
    tally = {}
    for line in told:
        for name, count in line.get("tally", {}).items():
            tally[name] = tally.get(name, 0) + count
    assert sum(tally.values()) == COUNT
    answered = sum(count for name, count in tally.items() if name.endswith((" 0", " 1")))
    assert answered >= COUNT / 20
    assert sum(count for name, count in tally.items() if name.endswith(" 2")) >= COUNT / 4


def test_a_case_is_the_same_each_time():
    assert [make_case(SEED, k) for k in range(20)] == [make_case(SEED, k) for k in range(20)]
    assert make_case(SEED, 1) != make_case(SEED + 1, 1)


@pytest.mark.parametrize(
    ("ran", "said"),
    [
        ((3, "", "bracing: a fault of the program itself", 0.1), "status 3"),
        ((0, "ok", "Traceback (most recent call last):", 0.1), "status 0"),
        ((0, "ok", "", 2.1), "took 2.1 s"),
        ((2, "", "", 0.1), "no line of its own"),
        ((2, "", "wall.toml: wrong\n", 0.1), "no line of its own"),
        ((0, "limit gust: nan mph", "", 0.1), "no number"),
    ],
)
def test_the_judge_sees_what_is_wrong(ran, said):
    case = make_case(SEED, 0)._replace(words=("check", "{}/wall.toml"), files={}, typed="file")
    assert said in "; ".join(judge(case, ran))
    as_json = case._replace(words=(*case.words, "--json"))
    assert judge(as_json, (0, '{"limit_gust_mph": NaN}', "", 0.1))
    assert judge(
        as_json, (0, '{"verdict": "within", "links": [], "limit_gust_mph": 50, "gust_mph": 40}', "", 0.1)
    )
    for under in ('{"a": [{"limit_gust_mph": -1}]}', '{"links": [{"ratio": -0.1}]}', '{"minutes": -5}'):
        assert "less than nothing" in "; ".join(judge(as_json, (1, under, "", 0.1)))
    assert judge(as_json, (1, '{"verdict": "over", "assumed": [{"effect_mph": -2}]}', "", 0.1)) == []
