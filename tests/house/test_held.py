"""House rules keep their hold: none holds fewer things than it did without a reason beside its count."""

from tests.house.held import HELD, falls, recorded


def test_no_rule_holds_fewer_than_it_did():
    now = {rule: count() for rule, count in HELD.items()}
    print("\n".join(f"{count:6d}  {rule}" for rule, count in now.items()))
    assert all(now.values()), "a rule that holds nothing"
    assert set(recorded()) == set(now), "run: python -m tests.house.held --write 'reason'"
    fallen = falls(now, recorded())
    assert not fallen, "if meant, run: python -m tests.house.held --write 'reason'\n" + "\n".join(fallen)


def test_the_rule_sees_a_fall_and_a_rule_that_is_gone():
    kept = {"a": (10, ""), "b": (5, ""), "c": (1, "merged")}
    assert falls({"a": 9, "b": 6}, kept) == ["a: 9, held 10", "c: 0, held 1"]
