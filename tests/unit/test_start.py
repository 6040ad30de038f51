"""The questions of `start`: answers as a crew writes them, and the file that comes of them."""

import json
import re
import tomllib

import jsonschema
import pytest

from bracing.errors import InputError
from bracing.reading.answers import floor_height, off_the_box
from bracing.reading.interview import Answers, Interview, Quit, asked
from bracing.reading.jobs import job_from_text, read_job
from bracing.reading.questions import QUESTIONS, TEMPLATES, template_values, values_of
from bracing.reading.writing import SCHEMA_FILE, wall_text, write_new_wall
from bracing.text.schema import wall_file_schema

LEVEL = {"length": "30 ft", "height": "9 ft"}


def answered(**texts):
    """The job of answers by key."""
    return job_from_text(wall_text(values_of(LEVEL | texts)), "wall.toml")


class Talk:
    """Somebody who answers in turn, and what was said to them."""

    def __init__(self, *answers):
        self.answers, self.said = list(answers), []

    def ask(self, prompt):
        return self.answers.pop(0)

    def run(self, width=80):
        return Interview(self.ask, self.said.append, width).run()

    @property
    def text(self):
        return " ".join("\n".join(self.said).split())


def test_a_wall_of_three_answers():
    """Name, shape, length and height; all else left."""
    talk = Talk("North wall", "level", "", "30 ft", "9 ft 1 1/8 in", "done")
    job = job_from_text(wall_text(talk.run()), "x.toml")
    assert (job.wall.name, job.wall.length, job.wall.highest) == ("North wall", 360.0, 109.125)
    assert job.declared == {"edition", "wall.name", "wall.length", "wall.height"}


def test_enter_and_dont_know_leave_the_low_default_undeclared():
    plain = Talk(
        "", "", "", "30 ft", "9 ft", "", "don't know", "dk", "", "", "", "", "", "y", *[""] * 30
    ).run()
    job = job_from_text(wall_text(plain), "x.toml")
    assert job.declared == {"edition", "wall.length", "wall.height"}
    assert (job.wall.studs.size, job.wall.studs.spacing, job.wall.studs.grade) == ("2x4", 24.0, "No.3")


@pytest.mark.parametrize(
    ("said", "inches"),
    # IRC R301.3: a storey at most 11 ft 7 in, 139 in; the first floor 36 in up (judgement).
    [("first", 36.0), ("on the second floor", 175.0), ("3rd storey", 314.0), ("8 ft 2 in", 98.0)],
)
def test_a_floor_is_as_high_as_the_storeys_under_it_may_be(said, inches):
    job = job_from_text(wall_text(values_of(LEVEL) | floor_height(said)), "x.toml")
    assert job.floor.height_above_ground == inches


def test_what_must_be_known_is_asked_until_it_is():
    talk = Talk("", "", "", "", "don't know", "30", "30 ft", "9 ft", "done")
    assert talk.run()["wall.length"] == "30 ft"
    assert talk.text.count("This one must be known.") == 2
    assert "Got 30; expected a length with its unit" in talk.text


def test_back_asks_the_last_one_again_and_quit_ends_it():
    talk = Talk("A", "level", "", "30 ft", "back", "36 ft", "9 ft", "quit")
    with pytest.raises(Quit):
        talk.run()
    assert talk.text.count("Tape the bottom plate") == 2


def test_back_past_a_change_of_shape_drops_what_no_longer_applies():
    talk = Talk(
        *("A", "gable", "", "30 ft", "9 ft", "14 ft", "back", "back", "back", "back", "back"),
        *("level", "", "", "8 ft", "done"),
    )
    values = talk.run()
    assert (values["wall.length"], values["wall.height"]) == ("30 ft", "8 ft")
    assert "wall.peak" not in values


def test_help_says_why():
    talk = Talk("?", "A", "level", "", "30 ft", "9 ft", "done")
    talk.run()
    assert "It heads every page about it" in talk.text


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        (("gable", "", "30 ft", "12 ft", "9 ft", "14 ft"), "more than the height"),
        (("level", "", "30 miles", "30 ft", "9 ft"), "a length with its unit"),
        (("level", "", "30 ft", "9 ft", "2x7 16 in", "2x6 16 in"), "lumber sizes"),
        (("level", "", "30 ft", "9 ft", "2x6 16 in balsa No.2", "2x6 16 in SPF No.2"), "species and grade"),
        (("level", "", "30 ft", "9 ft", "2x6 16 in", "oxb 7/16", "osb 7/16"), "near: osb"),
        (("roof", "level", "", "30 ft", "9 ft"), "level, gable or rake"),
    ],
)
def test_an_answer_that_does_not_fit_is_asked_again_with_what_is_expected(answers, said):
    talk = Talk("A", *answers, "done")
    talk.run()
    assert said in talk.text


def test_openings_one_a_line_until_an_empty_one_and_a_wrong_one_is_asked_again():
    talk = Talk("A", "level", "", "30 ft", "9 ft", "", "", "2 ft, sill 3 ft, 6 ft x 4 ft",
                "4 ft, sill 3 ft, 6 ft x 4 ft",
                "20 ft, 3 ft x 6 ft 10 in, open", "", "done")  # fmt: skip
    values = talk.run()
    assert [row["left"] for row in values["wall.opening"]] == ["2 ft", "20 ft"]
    assert values["wall.opening"][1]["covered"] is False
    assert "Got" in talk.text


# -- the words of a crew ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "species", "grade"),
    [
        ("SPF No.2", "spruce-pine-fir", "No.2"),
        ("No. 2 SPF", "spruce-pine-fir", "No.2"),
        ("doug fir #1", "douglas fir-larch", "No.1"),
        ("hem-fir, stud", "hem-fir", "Stud"),
        ("southern pine No.2", "southern pine", "No.2"),
        ("SPF", "spruce-pine-fir", "No.3"),
        ("No.2", "spruce-pine-fir (south)", "No.2"),
    ],
)
def test_a_grade_stamp(text, species, grade):
    studs = answered(studs=f"2x6 16 in, {text}").wall.studs
    assert (studs.species, studs.grade) == (species, grade)


@pytest.mark.parametrize(
    ("text", "kind", "size", "spacing", "run"),
    [
        ("solid 2x10, 16 in, away", "sawn", "2x10", 16.0, "away"),
        ("2x12 along 12", "sawn", "2x12", 12.0, "along"),
        ("I-joist 16 in along", "i-joist", "2x8", 16.0, "along"),
        ("along, 24 in, truss", "truss", "2x8", 24.0, "along"),
        ("trusses away 400 mm", "truss", "2x8", 400.0 / 25.4, "away"),
    ],
)
def test_joists(text, kind, size, spacing, run):
    joists = answered(floor="deck", joists=text).floor.joists
    assert (joists.kind, joists.size, joists.run) == (kind, size, run)
    assert joists.spacing == pytest.approx(spacing, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("16d common", "16d common"),
        ("structural screw .22 x 5", "structural screw 0.22x5"),
        ("gun nail 0.131 x 3 1/4", "gun nail 0.131x3-1/4"),
    ],
)
def test_a_box_of_a_usual_fastener(text, name):
    assert off_the_box(text, "f") == (name, [])


@pytest.mark.parametrize(
    ("text", "diameter", "length", "head"),
    [
        ("nail 3.1 mm x 90 mm, head 7 mm", 3.1 / 25.4, 90.0 / 25.4, 7.0 / 25.4),
        ("nail shank 0.125 x 3.1 head 0.26", 0.125, 3.1, 0.26),
        ("structural screw 0.23 x 4 7/8, head 0.5", 0.23, 4.875, 0.5),
    ],
)
def test_a_box_of_another_fastener_becomes_the_crews_own(text, diameter, length, head):
    job = answered(screws=text)
    (own,) = job.fasteners
    assert (own.diameter, own.length, own.head) == pytest.approx((diameter, length, head), abs=1e-4)
    assert job.kit.head.fastener == job.kit.cleat.brace_fastener == own.name


@pytest.mark.parametrize(
    "text", ["drywall screw 6x2", "screw 0.2 x 3", "staple", "deck screw #9x3", "0.131 x 3"]
)
def test_a_box_that_cannot_be_counted_on_is_refused(text):
    with pytest.raises(InputError):
        off_the_box(text, "f")


def test_a_plate_with_its_spacing_last():
    plate = answered(plate="gun nail 0.131x3-1/4 at 12 in", plate_state="final into the joists").wall.plate
    assert (plate.fastener, plate.spacing) == ("gun nail 0.131x3-1/4", 12.0)
    assert (plate.state, plate.into_framing) == ("final", True)


def test_a_braced_wall_with_a_return():
    job = answered(
        ends="left", corner="12 16d common",
        braces="16 ft, head 8 ft, back 8 ft, 2x6, 4/4/5, joist\n24 ft, head 8 ft, back 8 ft",
        sticks="12 of 2x6 16 ft, 2x4 14 ft", keep_outs="stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft",
    )  # fmt: skip
    assert (job.wall.left_end, job.wall.left_return.count, job.wall.right_end) == ("return", 12, "free")
    assert [brace.mark for brace in job.braces] == ["B1", "B2"]
    assert job.braces[0].foot_on == "joist"
    assert [(stick.size, stick.count) for stick in job.kit.stock] == [("2x6", 12), ("2x4", None)]
    assert job.floor.keep_outs[0].opposite == (138.0, 156.0)


def test_a_return_that_is_told_in_one_line():
    texts = {
        "ends": "left",
        "corner": "12 16d common",
        "return": "8 ft, osb 7/16, 8d common 6 in, 16d common 8 in, plate",
    }
    wall = answered(**texts).wall
    assert (wall.left_return.length, wall.left_return.sheathing, wall.left_return.edge_spacing) == (
        96.0,
        "osb 7/16",
        6.0,
    )
    assert (wall.left_return.plate.fastener, wall.left_return.plate.spacing) == ("16d common", 8.0)
    assert wall.left_return.missing == ()
    texts["return"] = texts["return"].removesuffix(", plate")
    assert answered(**texts).wall.left_return.missing == ("plate.laps",)
    assert wall.right_return.length is None


def test_a_return_of_two_words_is_refused():
    with pytest.raises(InputError, match="length, panel, edge nails, plate nails"):
        answered(ends="left", **{"return": "8 ft, osb"})


def test_a_return_nobody_counted_the_nails_of_has_none():
    assert answered(ends="both").wall.left_return.count == 0


UP = "4 ft, head 7 ft, back 7 ft, 2x6, 4/4/5\n8 ft, head 7 ft, back 7 ft, 2x6, 4/4/5, deck"


def test_what_the_feet_are_on_is_asked_where_braces_are_up_on_a_deck():
    """Of all of them at once; one that says its own keeps it. With none up a layout says it."""
    up = {"floor": "deck", "more": "yes", "braces": UP}
    assert [brace.foot_on for brace in answered(**up, feet="cross cleat").braces] == ["cross cleat", "deck"]
    assert [brace.foot_on for brace in answered(**up).braces] == ["deck", "deck"]
    keys = {q.key for q in asked(Answers(up))}
    assert {"feet", "bored"} <= keys
    assert "feet" not in {q.key for q in asked(Answers({"floor": "deck", "more": "yes"}))}
    assert "feet" not in {q.key for q in asked(Answers({"floor": "slab", "more": "yes", "braces": UP}))}
    with pytest.raises(InputError, match="cross cleat"):
        answered(**up, feet="the lawn")


@pytest.mark.parametrize(("said", "bored"), [("yes", True), ("no", False)])
def test_whether_holes_are_bored_is_asked_of_head_and_cleat(said, bored):
    job = answered(bored=said)
    assert (job.kit.head.bored, job.kit.cleat.bored) == (bored, bored)
    assert {"kit.head.bored", "kit.cleat.bored"} <= job.declared
    silent = answered()
    assert not {"kit.head.bored", "kit.cleat.bored"} & silent.declared
    assert not silent.kit.cleat.bored


# -- the file --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_reads_and_fits_the_schema(name, tmp_path):
    path = tmp_path / "wall.toml"
    written = write_new_wall(path, template_values(name))
    assert [*map(str, (path, tmp_path / SCHEMA_FILE))] == list(written)
    assert read_job(path).wall.length > 0.0
    jsonschema.validate(tomllib.loads(path.read_text(encoding="utf-8")), wall_file_schema())
    first = path.read_text(encoding="utf-8").splitlines()[0]
    named = re.fullmatch(r"#:schema (\S+)", first)
    assert json.loads((tmp_path / named[1]).read_text(encoding="utf-8")) == wall_file_schema()


@pytest.mark.parametrize("name", [*TEMPLATES, "nothing known"])
def test_every_commented_line_is_true(name):
    """Declaring every low default the file shows changes nothing but that it is declared."""
    text = wall_text(values_of(LEVEL) if name == "nothing known" else template_values(name))
    told = re.sub(r"^# (?=\w+ = )", "", text, flags=re.M)
    before, after = job_from_text(text, "x.toml"), job_from_text(told, "x.toml")
    assert told != text
    assert (after.wall, after.site, after.braces) == (before.wall, before.site, before.braces)
    assert after.kit == before.kit
    assert after.floor == before.floor
    assert before.declared < after.declared


def test_a_file_that_is_there_is_never_written_over(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="not taken"):
        write_new_wall(path, values_of(LEVEL))
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_is_not_there_is_a_fault_of_input(tmp_path):
    with pytest.raises(InputError, match="can be written"):
        write_new_wall(tmp_path / "no" / "wall.toml", values_of(LEVEL))


def test_a_name_with_quotes_and_letters_of_all_kinds_survives():
    assert answered(name='Müller\'s "north" \\ wall').wall.name == 'Müller\'s "north" \\ wall'


def test_the_first_are_at_most_fourteen_for_every_shape_and_floor():
    for shape in ("level", "gable", "rake"):
        for floor in ("deck", "slab", "ground"):
            texts = {"shape": shape, "floor": floor}
            first = [question for question in QUESTIONS if question.early and question.when(texts)]
            assert 11 <= len(first) <= 14


def test_every_question_has_a_low_default_but_the_outline():
    assert [question.key for question in QUESTIONS if not question.low] == [
        "length",
        "height",
        "peak",
        "left",
    ]


def test_it_keeps_to_forty_columns():
    talk = Talk(*("?", "A", "level", "?", "", "30 ft", "9 ft"), *["?", ""] * 8, "yes", *["?", ""] * 30)
    talk.run(width=40)
    assert max(len(line) for said in talk.said for line in said.splitlines()) <= 40
