"""No answer hangs on what was asked before it or beside it: any order of calls, eight threads, the same bytes."""

import json
import os
import random
import subprocess
import sys
import threading
from datetime import UTC, datetime, timedelta

import pytest

from bracing import (
    check_storm,
    check_wall,
    choose_fasteners,
    in_words,
    job_from_text,
    lay_out,
    plan_lift,
    take_stages,
)
from bracing.lift.links import LiftRequest
from bracing.storm.clock import Clock
from bracing.storm.forecast import Forecast, Hour
from tests.storm_walls import WALLS

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
pytestmark = pytest.mark.slow


def forecast(gust, storms):
    return Forecast((Hour(NOON, NOON + timedelta(hours=3), gust, thunderstorm=storms),), zone=UTC)


def held(job, gust, storms):
    return check_storm(job, forecast(gust, storms), Clock(NOON, UTC), ladder=None)


# Every kind of call that gives a document, each on two walls, so that one kept for another would show.
CALLS = {
    "check": lambda job: check_wall(job, gust=30.0, effects=job.wall.name == "Short"),
    "check with thunderstorms": lambda job: check_wall(job, gust=30.0, thunderstorm=True, effects=False),
    "stages": lambda job: take_stages(job, gust=20.0, deck=4.0),
    "storm": lambda job: held(job, 38.0, storms=False),
    "storm with thunderstorms": lambda job: held(job, 38.0, storms=True),
    "fasteners": lambda job: choose_fasteners(job, gust=25.0),
    "lift": lambda job: plan_lift(job, LiftRequest()),
    # of both walls the braces are laid out anew, so that each is asked at a gust of its own
    "layout": lambda job: lay_out(job, gust=20.0 + 2.0 * len(job.braces), budget=0.0),
}


def asked():
    """Every call on every wall, by name."""
    jobs = {name: job_from_text(WALLS[name], f"{name}.toml") for name in ("short", "two")}
    return {(call, name): (CALLS[call], job) for call in CALLS for name, job in jobs.items()}


def answer(call, job):
    return json.dumps(call(job).to_dict(), default=in_words, sort_keys=True)


def in_order(seed):
    """The answers, asked for in an order drawn with a seed."""
    calls = list(asked().items())
    random.Random(seed).shuffle(calls)
    return {key: answer(*call) for key, call in calls}


def in_threads(seed, *, count=8):
    """The answers of so many threads, each asking for all of them in an order of its own, all beginning at once."""
    found, faults, gate = [None] * count, [], threading.Barrier(count)

    def work(k):
        try:
            gate.wait()
            found[k] = in_order(100 * seed + k)
        except Exception as error:  # noqa: BLE001  (whatever it is, the test names it)
            faults.append(repr(error))

    threads = [threading.Thread(target=work, args=(k,)) for k in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    return found


def elsewhere(code):
    """What a process of its own says: nothing was asked in it before."""
    ran = subprocess.run(
        (sys.executable, "-c", f"from tests.laws.test_any_order import *; {code}"),
        capture_output=True, text=True, env=os.environ | {"PYTHONHASHSEED": "random"}, timeout=600,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr[-2000:]
    return {tuple(key): each for key, each in json.loads(ran.stdout)}


@pytest.fixture(scope="module")
def first():
    """Each answer as the first process gave it, in the order they stand."""
    return {key: answer(*call) for key, call in asked().items()}


def test_any_order_of_calls_gives_the_same_bytes(first):
    assert in_order(1) == first


def test_answers_told_apart_are_not_one(first):
    """No two calls give one document, so that one kept for another would show."""
    assert len(set(first.values())) == len(first)


def test_another_process_gives_the_same_bytes_backwards(first):
    code = "print(json.dumps([[key, answer(*call)] for key, call in reversed(asked().items())]))"
    assert elsewhere(code) == first


def test_eight_threads_that_begin_at_once_give_the_same_bytes(first):
    """In a process of its own, where nothing is loaded or kept yet: the first call of all is made eight times over."""
    code = (
        "found = in_threads(1); assert all(each == found[0] for each in found); "
        "print(json.dumps(list(map(list, found[0].items()))))"
    )
    assert elsewhere(code) == first
