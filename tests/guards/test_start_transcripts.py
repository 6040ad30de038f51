"""Twenty walls told to `bracing start` as carpenters type them: nothing plain is refused, all is understood as meant.

The measures expected are worked out here from what was meant, in inches, not read off the program.
"""

from __future__ import annotations

import pytest

from bracing.reading.interview import Interview
from bracing.reading.jobs import job_from_text
from bracing.reading.questions import FIRST
from bracing.reading.writing import wall_text

FT = 12.0
# What is typed, question by question as they come, a bar between them; what was meant, by path.
TOLD: dict[str, tuple[str, dict[str, object]]] = {
    "garage front, a 16-ft door": (
        """
        Garage front | level | driveway end | 24-0 | 9-1 1/8 | 2x6 16 oc SPF #2 | 7/16 osb and housewrap |
        4-0, 16-0 x 8-0 garage door |  | slab | 0 ft |  | 16d sinkers | 2x6x16, 2x6x20 |
        """,
        {
            "wall.length": 24 * FT,
            "wall.highest": 9 * FT + 1.125,
            "wall.studs.spacing": 16.0,
            "floor.kind": "slab",
            "kit.head.fastener": "16d sinker",
        },
    ),
    "gable end by its pitch": (
        """
        South gable | gable end | street | 28-0 | 8-1 | 6:12 | 2x4 @ 16" o.c., doug fir 2 and better | 1/2
        cdx, wrap | window 3-0 x 5-0 at 12-6, sill 2-8 |  | subfloor | second floor | 2x10 16 oc running
        away, first at 7 1/2 | gun nails 3-1/4 x .131 | 2x4x14 |
        """,
        {
            "wall.highest": 8 * FT + 1.0 + 14 * FT * 0.5,
            "wall.studs.grade": "No.2",
            "floor.joists.first": 7.5,
            "kit.head.fastener": "gun nail 0.131x3-1/4",
        },
    ),
    "feet and inches as a framer says them": (
        """
         | flat | stairs | 32 foot 4 1/2 | 10 foot 1 1/8 | 2x6 on 16 inch centers | bare studs | door at
        20-0, 3-2 x 6-10 1/2 | none | deck | first floor | 2x12s at 12, parallel to the wall | dk | not sure
        | no
        """,
        {
            "wall.length": 32 * FT + 4.5,
            "wall.highest": 10 * FT + 1.125,
            "floor.joists.run": "along",
            "floor.joists.spacing": 12.0,
        },
    ),
    "feet with a mark and a bare number": (
        """
        Back wall | level wall |  | 40' | 9' 1 1/8 | 2 by 6 @ 16 | osb 7/16 | 3' 6, 3'-2" x 6'-10 |  | wood
        | 3' | 2x10, 16" oc, away, first at 8" | 3/8 x 4 lags | 12 of 2x6 16 footers |
        """,
        {
            "wall.length": 40 * FT,
            "wall.highest": 9 * FT + 1.125,
            "floor.joists.first": 8.0,
            "kit.head.fastener": "lag 3/8x4",
        },
    ),
    "a rake": (
        """
        Shed rake | shed roof | low end | 20-0 | 8-0 and 13-0 | 2x6 24 oc hem fir stud | 7/16 osb |  |
        concrete | 0 ft | no | structural screws 3 x .22 | 2x6 14s and 16s |
        """,
        {"wall.highest": 13 * FT, "wall.studs.grade": "Stud", "kit.head.fastener": "structural screw 0.22x3"},
    ),
    "metric": (
        """
        North | level | road | 11.1 m | 2.74 m | 2x6 400 mm | osb 11 mm | 1.2 m, sill 0.9 m, 900 mm x 1.2 m
        |  | deck | 0.6 m | I-joists 400 mm along, first at 200 mm | nail 3.1 mm x 90 mm, head 7 mm | 2x6
        4.8 m |
        """,
        {"wall.length": 11100.0 / 25.4, "floor.joists.kind": "i-joist"},
    ),
    "capitals and full stops": (
        """
        NORTH WALL | LEVEL | GARAGE | 30 FT. | 8 FT. 1 IN. | 2X4 16 O.C. STUD GRADE | 7/16 OSB |  | DECK |
        GROUND FLOOR | 2X10 16 OC AWAY | 16D COMMON | 2X4 X 14 |
        """,
        {"wall.length": 30 * FT, "wall.highest": 8 * FT + 1.0, "wall.studs.grade": "Stud"},
    ),
    "fraction signs": (
        """
        Dormer | level |  | 12-7½ | 8-1⅛ | 2x4 16 oc | ½ gyp sheathing |  | deck | 2nd floor | 2x10 16 oc |
        8d commons | 2x4 12 ft |
        """,
        {"wall.length": 12 * FT + 7.5, "wall.highest": 8 * FT + 1.125},
    ),
    "peak at its height, off the middle": (
        """
        Salt box | gable | north | 26-0 | 9-0 | 17-6 at 10-0 | 2x6 16 oc, SYP #2 | 7/16 osb, tar paper |  |
        deck | main floor | 2x10 16 oc away, first one at 14 1/2 | #10 x 3 wood screws | 2x6x18 |
        """,
        {"wall.highest": 17 * FT + 6.0, "floor.joists.first": 14.5, "kit.head.fastener": "wood screw #10x3"},
    ),
    "pitch with a slash": (
        """
        Gable | a gable | east | 30' | 9' | 8/12 pitch | 2x6 16 oc | osb 7/16 |  | deck | the second floor |
        floor trusses 24 oc away | 16 penny sinkers | 2x6 16' and 2x6 20' |
        """,
        {"wall.highest": 9 * FT + 15 * FT * 8.0 / 12.0, "floor.joists.kind": "truss"},
    ),
    "pitch in words": (
        """
        Gable 2 | gable wall | west | 24 ft | 8 ft | 12 in 12 | 2x4 16 oc | ply 1/2 |  | deck | 3 ft |  |  |
        |
        """,
        {"wall.highest": 8 * FT + 12 * FT},
    ),
    "stakes outside": (
        """
        Barn | level | gate | 60 feet | 12 feet | 2x6 24 oc | bare | 10-0, 12-0 x 10-0 opening |  | dirt | 0
        ft | clay, 3.5 in, 36 in | structural screw .22 x 5 | 2x6x20 |
        """,
        {"wall.length": 60 * FT, "wall.highest": 12 * FT, "floor.kind": "ground"},
    ),
    "a weight at each foot": (
        """
        Tank wall | level |  | 20 ft | 10 ft | 2x6 16 oc | bare | none | ground | 0 ft | weight 1200 lb |
        skip | skip |
        """,
        {"wall.length": 20 * FT, "floor.kind": "ground"},
    ),
    "anchors with a report": (
        """
        Shop | level | office | 48-0 | 12-1 1/8 | 2x6 16 oc #2 df | 7/16 osb | 8-0, 10-0 x 10-0 | 28-0, 3-2
        x 6-10 |  | slab on grade | 0 ft | 800 lb, 900 lb, pull test of five | structural screws .25 x 3-1/2
        | 2x6x16 |
        """,
        {"wall.length": 48 * FT, "floor.slab.tension_lb": 800.0, "wall.studs.species": "douglas fir-larch"},
    ),
    "stamp off the end of a stud": (
        """
        Bath | level | tub | 14-6 | 8-1 1/8 | 2x4 16 oc S-DRY STUD SPF | 7/16 osb + housewrap |  | deck |
        2nd storey | 2x10 16 oc away | 10d box | 2x4x12 |
        """,
        {"wall.studs.species": "spruce-pine-fir", "wall.studs.grade": "Stud", "wall.length": 14 * FT + 6.0},
    ),
    "several openings, sill said behind": (
        """
        Kitchen | level | sink | 22-0 | 9-0 | 2x6 16 oc | 7/16 osb | 3-0, 6-0 x 4-0, 3-0 sill | door at 14-0
        3-0 x 6-8 |  | deck | 3-0 | 2x10 16 oc | 16d common | 2x6 14 |
        """,
        {"wall.openings": 2, "floor.height_above_ground": 36.0},
    ),
    "an opening nobody has covered": (
        """
        Porch | level |  | 18-0 1/2 | 8-0 | 2x4 16 oc | 7/16 osb | 5-0, 8-0 x 6-8 patio, open |  | deck | 3
        ft |  |  |  |
        """,
        {"wall.length": 18 * FT + 0.5, "wall.openings": 1},
    ),
    "went back to change the height": (
        """
        Den | level | door | 16-0 | 8-0 | back | 8-1 1/8 | 2x4 16 oc | osb 7/16 |  | deck | 3 ft |  |  |  |
        """,
        {"wall.highest": 8 * FT + 1.125, "wall.length": 16 * FT},
    ),
    "went back twice, and Enter kept what was there": (
        """
        Den | level | door | 16-0 | 8-0 | 2x4 16 oc | back | back | 8-1 1/8 |  | osb 7/16 |  | deck | 3 ft |
        |  |  |
        """,
        {"wall.highest": 8 * FT + 1.125, "wall.studs.spacing": 16.0},
    ),
    "went on after the first": (
        """
        Hall | level | stair | 20-0 | 9-1 1/8 | 2x6 16 oc SPF 2 | 7/16 osb |  | deck | second floor | 2x10
        16 oc away | 16d sinkers | 2x6x16 | yes | 8-0, head 7-0, back 7-6, 2x6 | 4-0, head 7-0, back 7-6,
        2x6 |  |  | joist | spf #2 | structural screws .22 x 5 | yep | 16d sinkers 16 oc | final into joists | 3/4 |
        plate | 8d commons at 6 | no | done
        """,
        {
            "wall.plate.fastener": "16d sinker",
            "wall.plate.spacing": 16.0,
            "wall.plate.row_from_sheathed_edge": 0.75,
        },
    ),
}


class Carpenter:
    """Somebody who types, and what was said to them."""

    def __init__(self, typed):
        self.typed, self.said = list(typed), []

    def ask(self, prompt):
        return self.typed.pop(0)

    def tell(self):
        values = Interview(self.ask, self.said.append, 80).run()
        return job_from_text(wall_text(values), "wall.toml")


def meant(job, path):
    """What a job has at a path; of a list how many."""
    for name in path.split("."):
        job = getattr(job, name)
    return len(job) if isinstance(job, tuple) else job


@pytest.mark.parametrize("name", TOLD)
def test_nothing_plain_is_refused_and_it_is_understood_as_meant(name):
    typed, expected = TOLD[name]
    talk = Carpenter(one.strip() for one in " ".join(typed.split()).split("|"))
    job = talk.tell()
    text = "\n".join(talk.said)
    assert "expected" not in text
    assert "must be known" not in text
    assert not talk.typed
    for path, value in expected.items():
        found = meant(job, path)
        assert found == (pytest.approx(value, abs=1e-6) if isinstance(value, float) else value), path


def test_there_are_twenty():
    assert len(TOLD) == 20


def told(*typed):
    talk = Carpenter([*typed, "quit"])
    with pytest.raises(Exception, match=r"^$"):
        talk.tell()
    return talk.said


def test_what_was_understood_is_said_back_in_a_line():
    said = told("Garage", "gable end", "", "18-0 1/2", "8-0", "6/12", "2x6 16 oc SPF #2")
    assert "= gable" in said
    assert "= length 18'-0 1/2\"" in said
    assert "= pitch 6/12, so the peak is at 12'-6 1/8\"" in said
    assert "= size 2x6, spacing 16 in, species spruce-pine-fir, grade No.2" in said


def test_what_nobody_answers_is_said_to_be_assumed():
    assert "ASSUMED: 2x4, 24 in, spruce-pine-fir (south), No.3." in told("", "", "", "20-0", "8-0", "dk")


def test_left_is_drawn_before_anything_is_taped_from_it():
    said = told("A", "gable", "", "20-0")
    first = next(k for k, line in enumerate(said) if "LEFT |" in line)
    assert all("Tape" not in line and "peak?" not in line for line in said[:first])
    assert next(k for k, line in enumerate(said) if "Tape the bottom plate" in line) > first


def test_a_name_in_no_table_is_answered_with_those_there_are():
    said = " ".join(" ".join(told("A", "", "", "20-0", "8-0", "2x6 16 oc balsa")).split())
    assert "The table has: douglas fir-larch; hem-fir; spruce-pine-fir;" in said
    said = " ".join(" ".join(told("A", "", "", "20-0", "8-0", "", "tin")).split())
    assert "osb; plywood; gypsum" in said


def test_a_level_wall_or_a_gable_is_asked_fourteen_questions_at_most():
    for shape in ("level", "gable"):
        for floor in ("deck", "slab", "ground"):
            asked = [one for one in FIRST if one.when({"shape": shape, "floor": floor})]
            assert len(asked) <= 14
