"""Changes to a wall file: the person's text stays, the file reads as meant, and nothing is half-written."""

import os
import stat
import subprocess
import sys
from datetime import UTC, datetime
from difflib import unified_diff

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import bracing.reading.files
from bracing.errors import InputError
from bracing.job.brace import FOOT_ON, Brace
from bracing.reading.files import put_in_place
from bracing.reading.jobs import read_job
from bracing.reading.writing import length_text, write_ladder, write_wall
from bracing.storm.ladder import Ladder, RemedyStep
from bracing.units import length
from bracing.work.parts import Parts
from bracing.work.remedies import Change

TEXT = """\
# South wall, framed Tuesday.
[wall]                        # the wall
length = "36 ft"
height = "10 ft"              # top of plate
studs = { size = "2x6", spacing = "16 in" }   # as delivered

[[wall.opening]]
left = "13 ft"                # to the left king
sill = "3 ft"
width = "6 ft"
height = "4 ft"

# First brace, by Joe.
[[brace]]
mark = "B1"                   # blue tape
stud_at = "9 ft"
head = "8 ft 0 in"
set_back = "2.4384 m"         # eight feet
head_fasteners = 4

# Second brace.
[[brace]]
mark = "B2"
stud_at = "28 ft"
head = "8 ft"
set_back = "8 ft"

# What is in the truck.
[kit]
ties = 1
"""


@pytest.fixture
def path(tmp_path):
    file = tmp_path / "wall.toml"
    file.write_text(TEXT)
    return file


def changed(path):
    """Lines taken out and put in, in order."""
    lines = unified_diff(TEXT.splitlines(), path.read_text().splitlines(), n=0, lineterm="")
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


def test_a_value_changes_and_its_comment_stays(path):
    job = write_wall(
        path, changes={"wall.height": "11 ft", "wall.opening[0].left": "12 ft", "wall.studs.size": "2x4"}
    )
    assert changed(path) == [
        '-height = "10 ft"              # top of plate',
        '-studs = { size = "2x6", spacing = "16 in" }   # as delivered',
        '+height = "11 ft"              # top of plate',
        '+studs = { size = "2x4", spacing = "16 in" }   # as delivered',
        '-left = "13 ft"                # to the left king',
        '+left = "12 ft"                # to the left king',
    ]
    assert (job.wall.highest, job.wall.openings[0].left, job.wall.studs.size) == (132.0, 144.0, "2x4")
    assert read_job(path) == job


def test_a_table_that_was_not_there_is_made(path):
    job = write_wall(
        path, changes={"site.exposure": "B", "kit.cleat.lie": "edge", "kit.ties": 2, "floor.open_below": True}
    )
    assert (job.site.exposure, job.kit.cleat.lie, job.kit.ties, job.floor.open_below) == (
        "B",
        "edge",
        2,
        True,
    )
    assert {"site.exposure", "kit.cleat.lie", "floor.open_below"} <= job.declared
    assert read_job(path) == job
    assert changed(path)[0] == "-ties = 1"
    assert all(line.startswith("+") for line in changed(path)[1:])


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"wall.height": 9}, "wall.height: got 9; expected a length"),
        ({"wall.hieght": "9 ft"}, "wall.hieght: got 9 ft; expected a known key; near: height"),
        ({"wall.opening[3].left": "9 ft"}, "wall.opening[3].left: got no such place"),
        ({"wall.height.top": "9 ft"}, "wall.height.top: got no such place"),
        ({"wall[0]": "9 ft"}, r"wall[0]: got no such place"),
        ({"wall height": "9 ft"}, "wall height: got a path; expected a dotted path"),
        (
            {"wall.height": "11 ft", "wall.opening[0].left": "40 ft"},
            "wall.opening[0]: got from 480 to 552 in",
        ),
    ],
)
def test_a_change_that_would_not_read_is_not_written(path, changes, message):
    with pytest.raises(InputError) as caught:
        write_wall(path, changes=changes)
    assert message in str(caught.value)
    assert path.read_text() == TEXT
    assert os.listdir(path.parent) == ["wall.toml"]


def test_a_file_with_faults_is_not_touched(path):
    path.write_text(TEXT.replace("ties = 1", "ties = 7"))
    before = path.read_text()
    with pytest.raises(InputError, match=r"kit\.ties"):
        write_wall(path, changes={"wall.height": "11 ft"})
    assert path.read_text() == before


# -- braces ----------------------------------------------------------------------------------------------

B3 = Brace(
    mark="B3", stud_at=240.5, head=96.0, set_back=100.3, lap_side="right", size="2x6", floor_fasteners=5
)


def test_braces_go_in_after_the_others_and_before_what_follows(path):
    before = read_job(path)
    job = write_wall(path, [B3])
    assert job.braces == (*before.braces, B3)
    assert job.wall == before.wall
    assert all(line.startswith("+") for line in changed(path))
    text = path.read_text()
    assert text.index('mark = "B2"') < text.index('mark = "B3"') < text.index("# What is in the truck.")
    assert 'stud_at = "20 ft 1/2 in"' in text
    assert 'set_back = "100.3 in"' in text


def test_rungs_go_in_in_one_step(path, monkeypatch):
    """New braces and changed fields together: a file broken off between the two would be half a plan."""
    before, times = read_job(path), []
    monkeypatch.setattr(
        bracing.reading.files, "put_in_place", lambda *a, **k: times.append(1) or put_in_place(*a, **k)
    )
    changes = (Change("head", "brace[0].head_fasteners", 4, 6), Change("plate", "wall.plate.spacing", 24.0, 8.0),
               Change("tie", "brace[2].ties", 0, 1))  # fmt: skip
    step = RemedyStep(("head",), changes, (B3,), before, 40.0, 10.0, Parts())
    job = write_ladder(before, Ladder((step,), "", 1), datetime(2026, 3, 6, tzinfo=UTC))
    assert times == [1]
    assert job.braces == (
        attrs.evolve(before.braces[0], head_fasteners=6),
        before.braces[1],
        attrs.evolve(B3, ties=1),
    )
    assert job.wall.plate.spacing == 8.0
    assert read_job(path) == job


def test_only_declared_fields_are_written(path):
    job = write_wall(
        path, [B3], declared=frozenset({f"brace[0].{key}" for key in ("mark", "stud_at", "head", "set_back")})
    )
    assert job.braces[2] == Brace(mark="B3", stud_at=240.5, head=96.0, set_back=100.3)
    assert "brace[2].lap_side" not in job.declared
    assert job.kit.head.joint == "plumb"


def test_the_first_brace_of_a_file(path):
    path.write_text('[wall]\nlength = "36 ft"\nheight = "10 ft"')  # no line end either
    job = write_wall(path, [B3])
    assert job.braces == (B3,)
    assert path.read_text().startswith('[wall]\nlength = "36 ft"\nheight = "10 ft"\n')
    assert read_job(path) == job


def test_a_brace_of_the_same_mark_keeps_its_text(path):
    before = read_job(path)
    one = attrs.evolve(before.braces[0], head_fasteners=6)
    job = write_wall(path, [one, before.braces[1]], declared=before.declared, after=False)
    assert changed(path) == ["-head_fasteners = 4", "+head_fasteners = 6"]
    assert job.braces == (one, before.braces[1])
    assert job.declared == before.declared


def test_braces_taken_out_put_in_and_moved(path):
    before = read_job(path)
    job = write_wall(path, [B3, before.braces[1]], after=False)
    assert [brace.mark for brace in job.braces] == ["B3", "B2"]
    text = path.read_text()
    assert "B1" not in text
    for comment in (
        "# South wall, framed Tuesday.",
        "# Second brace.",
        "# What is in the truck.",
        "# as delivered",
    ):
        assert comment in text
    assert read_job(path) == job


def test_all_braces_taken_out(path):
    job = write_wall(path, [], after=False)
    assert job.braces == ()
    assert "[[brace]]" not in path.read_text()
    assert "# What is in the truck." in path.read_text()
    assert job.kit.ties == 1


def test_the_last_line_needs_no_end(path):
    path.write_text(TEXT.partition("# What is in the truck")[0].rstrip())
    job = write_wall(path, [B3])
    assert [brace.mark for brace in job.braces][-1] == B3.mark


def test_windows_line_ends_stay(path):
    path.write_bytes(TEXT.replace("\n", "\r\n").encode())
    write_wall(path, [B3])
    content = path.read_bytes()
    assert content.count(b"\n") == content.count(b"\r\n")


lengths = st.floats(min_value=12.0, max_value=110.0, allow_nan=False)
counts = st.integers(min_value=0, max_value=40)
braces = st.builds(
    Brace,
    mark=st.text(alphabet="ABCäß 0'\"\\#", min_size=1, max_size=8).filter(lambda mark: mark.strip() == mark),
    stud_at=lengths,
    head=lengths,
    set_back=lengths,
    lap_side=st.sampled_from(("left", "right")),
    size=st.sampled_from(("2x4", "2x6")),
    ties=st.integers(min_value=0, max_value=2),
    stiffener=st.sampled_from(("none", "T")),
    head_fasteners=counts,
    cleat_fasteners=counts,
    floor_fasteners=counts,
    foot_on=st.sampled_from(FOOT_ON),
    stud_doubled=st.booleans(),
)


@given(wanted=st.lists(braces, max_size=4, unique_by=lambda brace: brace.mark))
@settings(max_examples=25, deadline=None)
def test_any_braces_read_as_they_were_written(tmp_path_factory, wanted):
    path = tmp_path_factory.mktemp("braces") / "wall.toml"
    path.write_text(TEXT)
    job = write_wall(path, wanted, after=False)
    assert job.braces == tuple(wanted)
    assert read_job(path) == job
    taken = {brace.mark for brace in wanted} | {"B1", "B2"}
    path.write_text(TEXT)
    if len(taken) == len(wanted) + 2:
        assert write_wall(path, wanted).braces[2:] == tuple(wanted)


@given(inches=st.floats(min_value=0.0, max_value=4800.0, allow_nan=False))
@settings(max_examples=200, deadline=None)
def test_a_length_reads_as_the_very_same_float(inches):
    text = length_text(inches)
    if len(text) <= 40:  # what reading takes; floats under 1e-20 in are longer
        assert length(text) == inches


@given(sixteenths=st.integers(min_value=0, max_value=76800))
@settings(max_examples=100, deadline=None)
def test_a_tape_length_is_written_in_feet_and_inches(sixteenths):
    text = length_text(sixteenths / 16.0)
    assert length(text) == sixteenths / 16.0
    assert "." not in text


# -- the disk --------------------------------------------------------------------------------------------


def _no_space(*_):
    raise OSError(28, "No space left on device")


@pytest.mark.parametrize("step", ["fsync", "replace", "chmod"])
def test_a_step_that_fails_leaves_the_old_file_whole(path, monkeypatch, step):
    monkeypatch.setattr(os, step, _no_space)
    with pytest.raises(InputError) as caught:
        write_wall(path, changes={"wall.height": "11 ft"})
    monkeypatch.undo()
    assert str(caught.value) == (
        f"{path}: file: got no space left on device; "
        "expected a file that can be written; the file was not changed"
    )
    assert path.read_text() == TEXT
    assert os.listdir(path.parent) == ["wall.toml"]


def test_a_disk_that_is_full(path):
    """The system itself refuses to let the new file grow past 100 bytes."""
    code = (
        "import resource, sys\n"
        "from bracing.errors import InputError\n"
        "from bracing.reading.writing import write_wall\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))\n"
        "try:\n"
        "    write_wall(sys.argv[1], changes={'wall.height': '11 ft'})\n"
        "except InputError as error:\n"
        "    sys.stdout.write(str(error))\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    assert done.stdout.startswith(f"{path}: file: got file too large; expected a file that can be written")
    assert path.read_text() == TEXT
    assert os.listdir(path.parent) == ["wall.toml"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root writes everywhere")
def test_a_folder_that_takes_no_files(path):
    path.parent.chmod(0o500)
    try:
        with pytest.raises(InputError, match="permission denied"):
            write_wall(path, changes={"wall.height": "11 ft"})
    finally:
        path.parent.chmod(0o700)
    assert path.read_text() == TEXT


def test_a_link_stays_a_link_and_rights_stay(path, tmp_path):
    path.chmod(0o640)
    link = tmp_path / "today.toml"
    link.symlink_to(path)
    write_wall(link, changes={"wall.height": "11 ft"})
    assert link.is_symlink()
    assert 'height = "11 ft"' in path.read_text()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_braces_that_lie_apart_in_the_file(path):
    path.write_text(TEXT + '[[brace]]\nmark = "B9"\nstud_at = "20 ft"\nhead = "8 ft"\nset_back = "8 ft"\n')
    before = read_job(path)
    job = write_wall(path, [B3])
    assert job.braces == (*before.braces, B3)
    assert job.kit == before.kit
    assert read_job(path) == job
