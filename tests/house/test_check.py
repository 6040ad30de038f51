"""What the quick check runs and leaves out is there."""

from tests.check import FAST, NOT_FAST
from tests.house.tree import ROOT


def test_every_path_of_the_quick_check_is_there():
    assert not [path for path in (*FAST, *NOT_FAST) if not (ROOT / path).exists()]


def test_only_what_would_run_is_left_out_and_for_a_reason():
    assert not [path for path in NOT_FAST if not path.startswith(FAST)]
    assert all(NOT_FAST.values())
