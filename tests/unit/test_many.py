"""A list of walls: streamed, in its order, whoever does the work; a bad row is an answer; taken up again."""

from __future__ import annotations

import io
import os
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from itertools import count, islice

import pytest
from attrs import evolve

from bracing.check import check
from bracing.errors import InputError, MissingExtraError
from bracing.many.kept import COLUMNS, ListAsked, ListRow, RowResult
from bracing.many.rows import (
    AHEAD,
    BAD_ROW,
    CHUNK,
    Counts,
    check_list,
    check_row,
    check_rows,
    read_list,
    spread,
)
from bracing.reading.options import job_from_options
from bracing.said import Verdict
from tests.storm_walls import WALLS

ASKED = ListAsked(30.0)
HEAD = "name,length,height,studs,layers,plate,brace\n"
BRACES = "48in:head 7ft:back 7ft:2x6:left:4/4/5:joist; 144in:head 7ft:back 7ft:2x6:left:4/4/5:joist"
GOOD = f'A,16 ft,9 ft,2x6@16in,osb 7/16,16d common@16in,"{BRACES}"\n'
BARE = "B,20 ft,8 ft,2x4@16in,osb 7/16,,\n"
LIST = HEAD + GOOD + BARE + "C,16,9 ft,,,,\n" + "D,12 ft,9 ft\n" + "\n" + "E,10 ft,8 ft,,none,,\n"


def rows_of(text):
    return list(read_list(io.StringIO(text, newline=""), file="list.csv")[1])


def test_a_row_is_the_wall_its_options_give():
    (row,) = rows_of(HEAD + GOOD)
    job = job_from_options(
        name="A", length="16 ft", height="9 ft", studs="2x6@16in", layers="osb 7/16", plate="16d common@16in",
        brace=[part.strip() for part in BRACES.split(";")],
    )  # fmt: skip
    expected = check(job, gust=30.0, effects=False)
    found = check_row(row, ASKED)
    assert (found.line, found.wall, found.verdict) == (2, "A", expected.verdict)
    assert (found.limit_gust_mph, found.clear_out_gust_mph) == (expected.limit_whole, expected.clear_out)
    assert found.limit_gust_one_missing_mph == expected.one_missing
    assert found.gives_first == expected.gives_first.link


def test_a_bad_row_is_reported_with_its_line_and_the_others_answered():
    found = list(check_rows(rows_of(LIST), ASKED))
    assert [(r.line, r.verdict == BAD_ROW) for r in found] == [
        (2, False),
        (3, False),
        (4, True),
        (5, True),
        (7, False),
    ]
    assert "--length: got 16" in found[2].error
    assert found[3].error == "3 cells, and 7 columns"
    assert all(not r.error for r in found if r.verdict != BAD_ROW)


def test_a_row_may_name_a_wall_file(tmp_path):
    (tmp_path / "short.toml").write_text(WALLS["short"], encoding="utf-8")
    asked = ListAsked(30.0, folder=str(tmp_path))
    first, second, third = (
        check_row(row, asked) for row in rows_of("file,length\nshort.toml,\nnone.toml,\nshort.toml,9 ft\n")
    )
    assert (first.wall, first.verdict) == ("Short", "over")
    assert "no such file" in second.error
    assert "not both" in third.error


def test_past_the_envelope_a_row_is_for_an_engineer():
    (found,) = check_rows(rows_of("length,height\n200 ft,9 ft\n"), ASKED)
    assert (found.verdict, found.limit_gust_mph) == ("engineer", None)
    assert "length" in found.error


@pytest.mark.parametrize("head", ["", "\n", "length,hight\n", "length,length\n", "length,\n"])
def test_a_first_line_that_names_no_columns_is_refused(head):
    with pytest.raises(InputError) as caught:
        rows_of(head + "36 ft,9 ft\n")
    assert caught.value.faults[0].field == "line 1"


def test_a_row_past_all_sense_is_a_bad_row():
    found = rows_of("name,length,height\n" + "x" * 200_000 + ",9 ft,8 ft\nB,9 ft,8 ft\n")
    assert "not a row of CSV" in found[0].fault
    assert found[-1].cells["name"] == "B"


def test_rows_that_say_the_same_but_for_a_name_and_a_lot_are_worked_out_once(monkeypatch):
    from bracing.many import rows as asked_of

    worked, one = [], asked_of._worked_out
    monkeypatch.setattr(asked_of, "_worked_out", lambda *args: worked.append(args) or one(*args))
    asked_of._like.cache_clear()
    head, *_ = HEAD.split("\n")
    wall = GOOD.strip()[2:]
    text = (
        f"{head},lot\nA,{wall},7\nB,{wall},8\n{'x' * 3000},{wall},9\nA,{wall.replace('9 ft', '10 ft', 1)},7\n"
    )
    same, other, unnamed, _ = check_rows(rows_of(text), ASKED)
    assert len(worked) == 3  # A and B together; the one that may have no such name; the higher one
    assert (same.wall, same.lot, other.wall, other.lot) == ("A", "7", "B", "8")
    assert evolve(other, line=same.line, key=same.key, wall="A", lot="7") == same
    assert unnamed.verdict == BAD_ROW
    assert "name" in unnamed.error
    asked_of._like.cache_clear()


def test_another_gust_is_another_answer():
    (row,) = rows_of(HEAD + GOOD)
    assert check_row(row, ASKED).verdict == Verdict.OVER
    assert check_row(row, ListAsked(150.0)).verdict == Verdict.ENGINEER


# -- whoever does the work -------------------------------------------------------------------------------


class Asking(Future):
    """Has all work done, the last first, once its own is asked for."""

    def __init__(self, waiting):
        super().__init__()
        self.waiting = waiting

    def result(self, timeout=None):
        for future, call in reversed(self.waiting):
            future.set_result(call())
        self.waiting.clear()
        return super().result(timeout)


class Backwards(Executor):
    """Does the last work handed out first, when any is asked for."""

    def __init__(self):
        self.waiting = []

    def submit(self, work, /, *args, **kwargs):
        future = Asking(self.waiting)
        self.waiting.append((future, lambda: work(*args, **kwargs)))
        return future


@pytest.mark.parametrize("chunk", [1, 2, CHUNK])
def test_results_come_in_the_order_of_the_rows_whatever_the_workers_do(chunk):
    rows = rows_of(LIST)
    alone = list(check_rows(rows, ASKED))
    assert list(check_rows(rows, ASKED, executor=Backwards(), chunk=chunk)) == alone
    with ThreadPoolExecutor(2) as pool:
        assert list(check_rows(rows, ASKED, executor=pool, chunk=chunk)) == alone


@pytest.mark.slow
def test_processes_give_what_one_process_gives():
    rows = rows_of(LIST)
    with spread(2) as pool:
        assert list(check_rows(rows, ASKED, executor=pool, chunk=1)) == list(check_rows(rows, ASKED))


@pytest.mark.slow
@pytest.mark.filterwarnings("default")
def test_a_real_dask_cluster_gives_what_one_process_gives():
    pytest.importorskip("distributed")
    rows = rows_of(LIST)
    with spread(2, "local") as pool:
        assert list(check_rows(rows, ASKED, executor=pool, chunk=1)) == list(check_rows(rows, ASKED))


def test_dask_that_is_not_there_is_named_with_the_way_to_get_it(monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(MissingExtraError, match=r"bracing\[many\]"), spread(2, "local"):
        pass


@pytest.mark.parametrize("workers", [0, -1, 10_000])
def test_a_number_of_workers_that_cannot_be_is_refused(workers):
    with pytest.raises(InputError), spread(workers):
        pass


def test_one_worker_is_this_process():
    with spread(1) as executor:
        assert executor is None


def test_an_endless_list_is_read_no_further_than_it_is_worked_on():
    taken = []

    def endless():
        for line in count(2):
            taken.append(line)
            yield ListRow(line, {}, "no wall")

    with ThreadPoolExecutor(1) as pool:
        found = list(islice(check_rows(endless(), ASKED, executor=pool), 3))
    assert [row.line for row in found] == [2, 3, 4]
    assert len(taken) <= AHEAD * CHUNK


# -- taken up again --------------------------------------------------------------------------------------


@pytest.fixture
def listed(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def test_results_cut_off_at_any_byte_are_taken_up_again_to_the_same_file(listed, tmp_path):
    target = tmp_path / "out.csv"
    check_list(listed, target, ASKED)
    whole = target.read_bytes()
    assert whole.count(b"\n") == 6
    for cut in range(0, len(whole) + 1, 5):
        target.write_bytes(whole[:cut])
        counts = check_list(listed, target, ASKED)
        assert target.read_bytes() == whole
        assert counts.rows == 5
        assert counts.before == max(0, whole[:cut].count(b"\n") - 1)


def test_a_finished_list_is_not_done_again(listed, tmp_path, monkeypatch):
    target = tmp_path / "out.csv"
    check_list(listed, target, ASKED)
    monkeypatch.setattr("bracing.many.rows.check_row", lambda *args: pytest.fail("done again"))
    counts = check_list(listed, target, ASKED)
    assert (counts.rows, counts.before, counts.bad) == (5, 5, 2)


def test_results_of_another_row_or_gust_are_worked_out_again(listed, tmp_path):
    target, fresh = tmp_path / "out.csv", tmp_path / "fresh.csv"
    check_list(listed, target, ASKED)
    listed.write_text(LIST.replace("20 ft", "22 ft"), encoding="utf-8")
    counts = check_list(listed, target, ASKED)
    assert (counts.rows, counts.before, counts.again) == (5, 4, 1)
    check_list(listed, fresh, ASKED)
    assert target.read_bytes() == fresh.read_bytes()
    counts = check_list(listed, target, ListAsked(31.0))
    assert (counts.before, counts.again) == (0, 5)
    assert target.read_bytes() != fresh.read_bytes()


@pytest.mark.parametrize("content", ["my notes\n", "a" * 500 + "\n", "line,key,something\n"])
def test_a_file_that_holds_something_else_is_left_alone(listed, tmp_path, content):
    target = tmp_path / "notes.txt"
    target.write_text(content, encoding="utf-8")
    with pytest.raises(InputError, match="something else in it"):
        check_list(listed, target, ASKED)
    assert target.read_text(encoding="utf-8") == content


def test_a_bad_first_line_writes_nothing(tmp_path):
    source, target = tmp_path / "list.csv", tmp_path / "out.csv"
    source.write_text("hight\n9 ft\n", encoding="utf-8")
    with pytest.raises(InputError):
        check_list(source, target, ASKED)
    assert not target.exists()


def test_progress_is_told_after_each_row_and_the_columns_stand(listed, tmp_path):
    told = []
    target = tmp_path / "out.csv"
    check_list(listed, target, ASKED, progress=told.append)
    assert told == [1, 2, 3, 4, 5]
    assert target.read_text(encoding="utf-8").splitlines()[0] == ",".join(COLUMNS)


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root writes everywhere")
def test_a_place_that_cannot_be_written_is_refused(listed, tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(InputError):
        check_list(listed, tmp_path / "out.csv", ASKED)
    tmp_path.chmod(0o700)


@pytest.mark.parametrize(
    ("verdicts", "all_within"),
    [
        ({Verdict.WITHIN: 3}, True),
        ({Verdict.WITHIN: 3, Verdict.NOT_UP: 2}, True),
        ({Verdict.WITHIN: 3, BAD_ROW: 1}, True),
        ({Verdict.WITHIN: 3, Verdict.OVER: 1}, False),
        ({Verdict.WITHIN: 3, Verdict.ENGINEER: 1, Verdict.NOT_UP: 1}, False),
        ({Verdict.NOT_UP: 2}, False),
        ({BAD_ROW: 2}, False),
        ({}, False),
    ],
)
def test_all_are_within_where_each_that_is_up_is(verdicts, all_within):
    """A wall that is not up, and a row that is none, are counted apart; a bad row has a status of its own."""
    counts = Counts(sum(verdicts.values()), 0, 0, {str(word): count for word, count in verdicts.items()})
    assert counts.all_within == all_within


@pytest.mark.parametrize(
    ("clear_out", "storms", "out"), [(51, False, 0), (51, True, 1), (58, True, 1), (59, True, 0)]
)
def test_a_list_in_storms_has_people_out_by_the_gust_of_a_storm(
    tmp_path, monkeypatch, clear_out, storms, out
):
    """A forecast of 30 mph with thunderstorms is planned for as 58: within at 70, and out from 51 on all the same."""
    within = RowResult(2, "key", "A", str(Verdict.WITHIN), clear_out_gust_mph=clear_out, limit_gust_mph=70)
    monkeypatch.setattr("bracing.many.rows.check_rows", lambda *_, **__: iter([within]))
    listed = tmp_path / "list.csv"
    listed.write_text(HEAD + GOOD, encoding="utf-8")
    assert check_list(listed, tmp_path / "out.csv", ListAsked(30.0, thunderstorm=storms)).out == out
