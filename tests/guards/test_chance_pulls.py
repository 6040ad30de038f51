"""What a pull test says of real strength: its mean and its scatter count in a chance, and it is said where they do."""

import math
import re

import pytest

from bracing.codes.chance import log_scatter
from bracing.codes.medians import Medians, Strength, scatter_as_pulled, scatter_of
from tests.cli.running import EXAMPLES, run, said
from tests.laws.test_pull_laws import CLEAT, DECK, JOIST, NAIL, PEAKS, SCREW, Joint, fastener, pulls

WALL = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
MOMENT = ("--now", "2026-03-06 12:00", "--zone", "America/Chicago")
KIND = "structural screw"


def middle(*tests, name=SCREW, moisture="green", plies=(CLEAT, DECK, JOIST), dried=True):
    """The median withdrawal of one fastener in its joint."""
    return Medians(dried=dried).fastener(Joint(fastener(name), plies, moisture, pulls=tests)).withdrawal


def low(n=10, part=0.3, **of):
    """So many pulls, each of a joist of its own, at a part of what the tables have."""
    return pulls([p * part for p in PEAKS[:n]], range(1, n + 1), lever=None, **of)


def chance_of(capsys, tmp_path, test, *words, name="wall.toml"):
    path = tmp_path / name
    path.write_text(WALL + test, encoding="utf-8")
    return run(capsys, "chance", path, *words, *MOMENT)


def written(peaks, name="T1"):
    listed = ", ".join(f'"{peak} lb"' for peak in peaks)
    return (
        f'\n[[pull_test]]\nname = "{name}"\nfastener = "{SCREW}"\ninto = "joist"\npeaks = [{listed}]\n'
        f"boards = {list(range(1, len(peaks) + 1))}\nends = {['drawn'] * len(peaks)}\n".replace("'", '"')
        + 'division = "5 lb"\ndriven = "24%"\npulled = "24%"\n'
    )


@pytest.mark.parametrize(
    ("n", "factor"),
    [(3, 3.37), (4, 2.63), (5, 2.33), (6, 2.18), (8, 2.00), (10, 1.92), (20, 1.76), (30, 1.73)],
)
def test_a_spread_found_from_few_is_widened_as_the_eurocode_prints_it(n, factor):
    """EN 1990 table D1, coefficient of variation unknown (from memory): the 5% point so many s under the mean."""
    from bracing.codes.chance import spread_of_next

    # printed cut off and not rounded: 2.0096 as 2.00, 1.7718 as 1.76
    assert 1.6449 * spread_of_next(1.0, n) == pytest.approx(factor, abs=0.012)


@pytest.mark.parametrize(("n", "factor"), [(1, 2.31), (2, 2.01), (3, 1.89), (4, 1.83), (5, 1.80), (10, 1.72)])
def test_a_known_spread_is_widened_by_the_mean_alone(n, factor):
    """The same table, coefficient of variation known (from memory); it has 1.64 for 1.6449."""
    from bracing.codes.chance import spread_known

    assert 1.64 * spread_known(1.0, n) == pytest.approx(factor, abs=0.0099)


def test_the_next_of_few_lots_is_under_its_five_percent_point_one_time_in_twenty():
    """Drawn: five pulls and the next, out of 40,000 lots; the share under mean - 1.6449 x the widened spread."""
    import numpy as np

    from bracing.codes.chance import spread_of_next

    rng = np.random.Generator(np.random.PCG64(31))
    lots = 0.3 * rng.standard_normal((40_000, 6))
    mean, s = lots[:, :5].mean(axis=1), lots[:, :5].std(axis=1, ddof=1)
    under = float(np.mean(lots[:, 5] < mean - 1.6449 * spread_of_next(1.0, 5) * s))
    assert under == pytest.approx(0.05, abs=4.0 * math.sqrt(0.05 * 0.95 / 40_000))


def test_the_median_is_that_of_the_pulls_and_not_five_times_the_allowable():
    test = low()
    mean = sum(test.pull(k) for k in range(10)) / 10.0
    spread = log_scatter(scatter_as_pulled(test, KIND))
    assert middle(test) == pytest.approx(mean * math.exp(-(spread**2) / 2.0), rel=1e-12)
    assert middle(test) != pytest.approx(middle(), rel=0.3)


def test_of_more_pulls_the_next_is_surer():
    found = [scatter_as_pulled(low(n, spread), KIND) for spread in (0.3,) for n in (1, 2, 3, 4)]
    assert found == sorted(found, reverse=True)
    assert found[-1] > scatter_of(Strength.SCREW)  # their own spread is nobody's: that of the kind, and more
    # ten even pulls: the floor of 0.15, a t of nine more over 1.6449, and the mean's own error
    many = log_scatter(scatter_as_pulled(low(10), KIND))
    assert many == pytest.approx(0.15 * 1.8331 / 1.6449 * math.sqrt(1.1), rel=1e-4)
    boards = log_scatter(scatter_as_pulled(pulls(lever=None), KIND))
    assert boards > many  # out of four joists they count as 5.56


@pytest.mark.parametrize("n", [1, 2, 3, 4])
def test_few_pulls_never_raise_the_middle(n):
    assert middle(low(n, 20.0)) <= middle() * (1.0 + 1e-9)


def test_pulls_of_few_joists_never_raise_it_and_of_many_to_half_again():
    high = [p * 20.0 for p in PEAKS]
    two = pulls(high, [1] * 5 + [2] * 5, lever=None)
    four = pulls(high, lever=None)
    tables = (
        5.0
        / 1.6
        * float(Medians().fastener(Joint(fastener(SCREW), (CLEAT, DECK, JOIST), "green")).withdrawal)
    )
    tables /= 5.0 / 1.6 / math.sqrt(1.0 + 0.25**2)  # the mean of the tables
    three = pulls(high, [1] * 4 + [2] * 3 + [3] * 3, lever=None)
    for test, most in ((two, 1.0), (three, 1.5), (four, 1.5)):
        spread = log_scatter(scatter_as_pulled(test, KIND))
        assert middle(test) == pytest.approx(most * tables * math.exp(-(spread**2) / 2.0), rel=1e-9)


def test_nails_pulled_green_hold_as_pulled_until_they_dry():
    test = low(fastener=NAIL)
    plies = (CLEAT, JOIST)
    fresh, dried = (middle(test, name=NAIL, plies=plies, dried=dried) for dried in (False, True))
    assert dried == pytest.approx(0.25 * fresh, rel=1e-12)
    unknown = low(fastener=NAIL, driven=None, pulled=None)
    assert middle(unknown, name=NAIL, plies=plies, dried=False) == pytest.approx(dried, rel=1e-12)


def test_screws_pulled_dry_hold_less_in_a_green_wall_and_less_thread_less():
    as_it_is, dry = low(), low(driven=0.12, pulled=0.12)
    assert middle(dry) == pytest.approx(0.7 * middle(as_it_is), rel=1e-12)
    deep = low(depth=20.0)
    assert middle(deep) < 0.5 * middle(as_it_is)


def test_of_two_tests_the_lesser_counts_and_another_board_tells_nothing():
    from attrs import evolve

    one, other = low(), evolve(low(10, 0.2), name="T2")
    assert middle(one, other) == middle(other, one) == middle(other)
    assert middle(low(into="stud")) == middle()


def test_it_is_said_where_it_counts_and_the_answer_has_it(capsys, tmp_path):
    peaks = [round(p * 0.7) for p in PEAKS]
    ran = chance_of(capsys, tmp_path, written(peaks))
    answer = chance_of(capsys, tmp_path, written(peaks), "--json").json
    (test,) = answer["pull_tests"]
    mean = sum(peak - 5.0 for peak in peaks) / 10.0
    assert (test["name"], test["pulls"]) == ("T1", 10)
    assert test["mean_lb"] == pytest.approx(mean, rel=1e-12)
    links = [link for link in answer["links"] if link["pull_test"] == "T1"]
    assert len(links) == test["links"] > 0
    assert all(link["link"].startswith("plate") for link in links)
    assert {link["scatter"] for link in links} == {test["scatter"]}
    assert f"T1 counts in {test['links']} links: mean {math.floor(mean)} lb of 10 pulls" in said(ran.out)
    assert len(ran.out.splitlines()) <= 40
    assert max(map(len, ran.out.splitlines())) <= 80
    bare = chance_of(capsys, tmp_path, "", "--json").json
    assert bare["pull_tests"] == []
    assert not re.search(r"\bT1\b", said(chance_of(capsys, tmp_path, "").out))


def test_fewer_pulls_of_the_same_force_are_less_sure_and_never_kinder(capsys, tmp_path):
    found = []
    for n in (10, 5):
        answer = chance_of(capsys, tmp_path, written([60] * n), "--json").json
        (test,) = answer["pull_tests"]
        found.append((test["scatter"], [curve["first"]["chance"] for curve in answer["curves"]]))
    (sure, few), (less, more) = found
    assert less > sure
    assert all(a <= b for a, b in zip(few[:2], more[:2], strict=True)) or few != more
