"""Sheets to scale: what a ruler reads off the paper, each view apart, each brace marked once, the title block."""

from __future__ import annotations

import itertools
import math
import re

import pytest
from attrs import evolve

from bracing.drawing.dxf import write_dxf
from bracing.drawing.model import Area, DrawnLine, Words, apart, box_of
from bracing.drawing.picture import plotted_pdf, svg_with_words
from bracing.drawing.plotted import PAPERS, plotted, scale_of, scale_words
from bracing.errors import InputError
from bracing.job.titles import Revision, TitleBlock
from bracing.reading.jobs import read_job
from bracing.sheet.facts import drawings
from bracing.text.quantities import Quantities
from bracing.units import tape
from tests.cli.running import run
from tests.sheet_walls import NAMES, braced, checked

ezdxf = pytest.importorskip("ezdxf")
pytest.importorskip("matplotlib")
QUARTER = 48.0  # a quarter inch to a foot
LEAST = 3.0 / 32.0  # height of a capital on paper [in]
MM = 25.4


@pytest.fixture(scope="module", params=[(name, paper) for name in NAMES for paper in PAPERS], ids="-".join)
def sheets(request):
    name, paper = request.param
    return name, paper, plotted(checked(name), paper=paper, lines=("a wall",))


def saved(sheets, folder, *, metric=False):
    return ezdxf.readfile(write_dxf(sheets, folder / "wall.dxf", metric=metric))


def views(sheets):
    return [view for sheet in sheets for view in sheet.views]


def inside(box, window):
    return window[0] <= box[0] and window[1] <= box[1] and box[2] <= window[2] and box[3] <= window[3]


def off_lines(box, items):
    """Whether no line of a drawing runs through a box; a line that ends on its edge does not."""
    return not any(
        crosses(box, *ends)
        for item in items
        if isinstance(item, DrawnLine | Area)
        for ends in itertools.pairwise(
            (*item.points, item.points[0]) if isinstance(item, Area) else item.points
        )
    )


def crosses(box, start, end):
    """Whether some of a piece of a line lies inside a box: what each pair of edges leaves of it overlaps."""
    first, last = 0.0, 1.0
    for low, high, a, b in ((box[0], box[2], start[0], end[0]), (box[1], box[3], start[1], end[1])):
        if a == b:
            if not low < a < high:
                return False
            continue
        at = sorted(((low - a) / (b - a), (high - a) / (b - a)))
        first, last = max(first, at[0]), min(last, at[1])
    return first < last


# -- what lies where ------------------------------------------------------------------------------------------


def test_views_lie_apart_inside_the_border_and_over_the_title_block(sheets):
    _, paper, made = sheets
    wide, tall = PAPERS[paper]
    for sheet in made:
        assert sheet.size == (wide, tall)
        boxes = []
        for view in sheet.views:
            (x, y), (long, high) = view.at, view.drawing.paper.size
            boxes.append((x, y, x + long, y + high))
            assert inside(boxes[-1], (0.4, 0.4 + 1.9, wide - 0.4, tall - 0.4)), view.drawing.name
        for one, other in itertools.combinations(boxes, 2):
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def test_every_drawing_is_on_one_sheet(sheets):
    name, _, made = sheets
    names = [view.drawing.name for view in views(made)]
    assert sorted(names) == sorted(drawing.name for drawing in drawings(checked(name)))


def test_every_brace_is_marked_once_in_the_wall_and_once_on_the_floor(sheets):
    name, _, made = sheets
    for view in views(made):
        if view.drawing.name in ("elevation", "plan"):
            texts = [item.text for item in view.drawing.items if isinstance(item, Words)]
            for brace in braced(name).braces:
                assert texts.count(brace.mark) == 1, (view.drawing.name, brace.mark)


def test_twelve_braces_on_a_long_wall_are_each_marked_once_clear_of_lines():
    job = checked("long-wall").job
    first = job.braces[0]
    studs = sorted({round(k * 16.0 * 2.0, 3) for k in range(1, 13)})
    crowd = tuple(evolve(first, mark=f"B{k + 1}", stud_at=at) for k, at in enumerate(studs))
    result = evolve(checked("long-wall"), job=evolve(job, braces=crowd))
    for view in views(plotted(result, paper="tabloid"))[:2]:
        drawing = view.drawing
        marks = [
            item for item in drawing.items if isinstance(item, Words) and re.fullmatch(r"B\d+", item.text)
        ]
        assert sorted(mark.text for mark in marks) == sorted(brace.mark for brace in crowd)
        lines = [item for item in drawing.items if isinstance(item, DrawnLine | Area)]
        for mark in marks:
            assert off_lines(box_of(mark, drawing.paper), lines), (drawing.name, mark.text)


def test_a_line_runs_through_a_box_or_past_it():
    box = (0.0, 0.0, 2.0, 1.0)
    through, past = ((-1.0, 0.5), (3.0, 0.5)), ((-1.0, 1.5), (3.0, 1.5))
    corner, along = ((-1.0, 0.0), (1.0, 2.0)), ((0.0, 1.0), (2.0, 1.0))
    assert not off_lines(box, [DrawnLine(through, "WALL")])
    assert all(off_lines(box, [DrawnLine(points, "WALL")]) for points in (past, corner, along))
    assert not off_lines(box, [Area(((-1.0, -1.0), (2.0, -1.0), (0.5, 5.0)), "WALL")])


# -- what a ruler reads ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("paper", PAPERS)
def test_a_viewport_shows_its_drawing_whole_at_the_scale_under_it(tmp_path, paper, metric):
    page, unit = Quantities(metric=metric), MM if metric else 1.0
    made = plotted(checked("slab-wall"), page, paper=paper)
    document = saved(made, tmp_path, metric=metric)
    assert document.header["$INSUNITS"] == (4 if metric else 1)
    for k, sheet in enumerate(made):
        layout = document.layouts.get(f"S{k + 1}")
        wide, tall = (side * unit for side in PAPERS[paper])
        assert (layout.dxf.paper_width, layout.dxf.paper_height) == pytest.approx(
            (PAPERS[paper][0] * MM, PAPERS[paper][1] * MM), abs=0.01
        )
        ports = [port for port in layout.query("VIEWPORT") if port.dxf.id != 1]
        assert len(ports) == len(sheet.views)
        for port, view in zip(ports, sheet.views, strict=True):
            scale = port.dxf.view_height / port.dxf.height
            if found := re.fullmatch(r"scale (?:1:(\d+)|(.+) = 1 ft)", view.scale):
                said = float(found[1]) if found[1] else scale_of(found[2])
                assert scale == pytest.approx(said, rel=1e-9)
            assert (
                0.0
                < port.dxf.center.x - port.dxf.width / 2.0
                < port.dxf.center.x + port.dxf.width / 2.0
                < wide
            )
            assert (
                0.0
                < port.dxf.center.y - port.dxf.height / 2.0
                < port.dxf.center.y + port.dxf.height / 2.0
                < tall
            )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_no_words_are_plotted_smaller_than_three_thirty_seconds(tmp_path, name, paper):
    document = saved(plotted(checked(name), paper=paper), tmp_path)
    space = document.modelspace()
    windows = []
    for layout in document.layouts:
        if layout.name == "Model":
            continue
        assert all(text.dxf.height >= LEAST - 1e-9 for text in layout.query("TEXT"))
        for port in layout.query("VIEWPORT"):
            if port.dxf.id != 1:
                high = port.dxf.view_height
                wide = high * port.dxf.width / port.dxf.height
                (x, y), scale = port.dxf.view_center_point.vec2, high / port.dxf.height
                windows.append(((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2), scale))
    for one, other in itertools.combinations([box for box, _ in windows], 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
    for text in space.query("TEXT"):
        x, y = text.get_placement()[1].vec2
        scales = [scale for box, scale in windows if inside((x, y, x, y), box)]
        assert len(scales) == 1, text.dxf.text
        assert text.dxf.height / scales[0] >= LEAST - 1e-9, text.dxf.text
    for dimension in space.query("DIMENSION"):
        x, y = dimension.dxf.defpoint2.vec2
        scale = next(scale for box, scale in windows if inside((x, y, x, y), box))
        assert dimension.override().get("dimtxt") / scale >= LEAST - 1e-9


def test_the_model_is_full_size_and_its_dimensions_measure(tmp_path):
    made = plotted(checked("slab-wall"), paper="tabloid")
    space = saved(made, tmp_path).modelspace()
    brace = braced("slab-wall").braces[0]
    lengths = []
    for entity in space.query("LWPOLYLINE"):
        if entity.dxf.layer == "BRACES" and not entity.closed:
            points = [(x, y) for x, y, *_ in entity.get_points()]
            lengths += [math.dist(a, b) for a, b in itertools.pairwise(points)]
    assert max(lengths) == pytest.approx(max(b.length for b in braced("slab-wall").braces), abs=1e-6)
    assert min(abs(length - brace.length) for length in lengths) < 1e-6
    measured = sorted(entity.get_measurement() for entity in space.query("DIMENSION"))
    expected = sorted(d.value for view in views(made) for d in view.drawing.dimensions)
    assert measured == pytest.approx(expected, abs=1e-6)
    assert {brace.mark, tape(brace.stud_at)} <= {entity.dxf.text for entity in space.query("TEXT")}


def segments(page):
    """The straight pieces of a page of a PDF, as it draws them [pt]."""
    pypdf = pytest.importorskip("pypdf")
    found, at = [], None
    for operands, operator in pypdf.generic.ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"m":
            at = tuple(map(float, operands))
        elif operator == b"l" and at is not None:
            to = tuple(map(float, operands))
            found.append((at, to))
            at = to
    return found


@pytest.mark.parametrize(("text", "per_foot"), [("1/4in", 0.25), ("1/8 in", 0.125), ("1:50", 12.0 / 50.0)])
def test_a_foot_on_the_plotted_page_is_as_long_as_the_scale_says(tmp_path, text, per_foot):
    pypdf = pytest.importorskip("pypdf")
    result = checked("short-wall-braced") if "short-wall-braced" in NAMES else checked("slab-wall")
    path = tmp_path / "wall.pdf"
    path.write_bytes(plotted_pdf(plotted(result, paper="tabloid", scale=scale_of(text))))
    page = pypdf.PdfReader(path).pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == (17.0 * 72.0, 11.0 * 72.0)
    level = [abs(b[0] - a[0]) for a, b in segments(page) if abs(b[1] - a[1]) < 0.01]
    long = result.job.wall.length / 12.0 * per_foot * 72.0
    assert min(abs(each - long) for each in level) < 0.01
    assert scale_words(scale_of(text)) in page.extract_text()


# -- what it is made of ---------------------------------------------------------------------------------------


def test_a_file_has_no_layer_line_or_style_that_nothing_uses(tmp_path):
    document = saved(plotted(checked("slab-wall"), paper="A3"), tmp_path)
    audited = document.audit()
    assert (audited.errors, audited.fixes) == ([], [])
    spaces = [document.modelspace(), *(document.layouts.get(name) for name in document.layouts.names())]
    used = {entity.dxf.layer for space in spaces for entity in space}
    own = {layer.dxf.name for layer in document.layers} - {"0", "Defpoints"}
    assert own <= used
    looks = {layer.dxf.name: layer for layer in document.layers}
    assert {looks[name].dxf.lineweight for name in own} == {18, 35, 70}
    assert looks["VIEWPORTS"].dxf.plot == 0
    lines = {looks[name].dxf.linetype.upper() for name in own}
    lines |= {entity.dxf.linetype.upper() for space in spaces for entity in space}
    assert {each.dxf.name.upper() for each in document.linetypes} <= lines | {
        "BYLAYER",
        "BYBLOCK",
        "CONTINUOUS",
    }
    assert [each.dxf.name for each in document.styles] == ["Standard"]
    assert [each.dxf.name for each in document.dimstyles] == ["Standard"]
    assert "Layout1" not in document.layouts.names()


def titles(document):
    return [text.dxf.text for name in document.layouts.names() if name != "Model"
            for text in document.layouts.get(name).query("TEXT")]  # fmt: skip


def test_the_title_block_says_what_was_given_and_leaves_a_line_for_the_rest(tmp_path):
    result = checked("slab-wall")
    told = TitleBlock(
        address="12 Ridge Road", permit="B-2041", revision="B", date="1 May",
        revisions=(Revision("A", "2 April", "first issue"), Revision("B", "1 May", "brace B2 moved")),
    )  # fmt: skip
    made = plotted(
        evolve(result, job=evolve(result.job, title=told)), paper="letter", lines=("Wall: PLAN", "CLEAR OUT")
    )
    texts = titles(saved(made, tmp_path))
    assert {
        "address: 12 Ridge Road",
        "permit: B-2041",
        "revision: B 1 May",
        "Wall: PLAN",
        "CLEAR OUT",
        "SEAL",
    } <= set(texts)
    assert {"A 2 April first issue", "B 1 May brace B2 moved"} <= set(texts)
    for blank in ("job", "builder", "issued for", "drawn", "checked"):
        assert any(re.fullmatch(rf"{blank}: _+", text) for text in texts), blank
    for sheet in made:  # nothing but its heading stands in the box for a seal
        wide = sheet.size[0]
        seal = [item for item in sheet.frame.items if isinstance(item, Words) and item.at[0] > wide - 0.4 - 1.6
                and item.at[1] < 0.4 + 1.9]  # fmt: skip
        assert [item.text for item in seal] == ["SEAL"]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_no_word_of_the_title_block_is_cut_or_leaves_its_box(name, paper):
    """The gust to be out for stood in it as "its clear-out gust is 3…"."""
    long = "Stood up as drawn, its clear-out gust is 36 mph (31 mph on a meter 5 ft above deck)"
    address = "1 " + "Longworded" * 7
    told = ("Wall: PLAN", long, "Limit gust 43 mph", "Void if anything differs from this sheet.", long)
    result = checked(name)
    titled = evolve(result, job=evolve(result.job, title=TitleBlock(address=address)))
    for sheet in plotted(titled, paper=paper, lines=told):
        words = [item for item in sheet.frame.items if isinstance(item, Words) and item.at[1] <= 0.4 + 1.9]
        assert " ".join(told) in " ".join(item.text for item in words)
        assert address.replace(" ", "") in "".join(item.text for item in words).replace(" ", "")
        boxes = sorted({item.points[0][0] for item in sheet.frame.items if isinstance(item, DrawnLine)})
        heights = [box_of(item, sheet.frame.paper) for item in words]
        for box in heights:
            right = min(at for at in (*boxes[1:], sheet.size[0] - 0.4) if at > box[0] + 0.01)
            assert box[2] <= right + 1e-9
            assert box[1] >= 0.4
        for one, other in itertools.combinations(heights, 2):
            assert apart(one, other)


# -- from a file ----------------------------------------------------------------------------------------------


def test_a_wall_takes_the_title_of_the_job_beside_it_where_its_own_says_nothing(tmp_path):
    wall = (WALL_TEXT + '[job]\npermit = "of the wall"\n').replace("\n\n", "\n")
    (tmp_path / "north.toml").write_text(wall)
    (tmp_path / "job.toml").write_text('[job]\nname = "Hill house"\npermit = "of the job"\nbuilder = "us"\n')
    title = read_job(tmp_path / "north.toml").title
    assert (title.name, title.permit, title.builder, title.address) == ("Hill house", "of the wall", "us", "")


def test_no_number_hangs_on_the_title(capsys, tmp_path):
    plain, titled = tmp_path / "a.toml", tmp_path / "b.toml"
    plain.write_text(WALL_TEXT)
    titled.write_text(WALL_TEXT + '[job]\naddress = "12 Ridge Road"\n[[job.change]]\nmark = "A"\n')
    one, other = (run(capsys, "check", path, "--gust", "20").out for path in (plain, titled))
    assert one.replace("a.toml", "b.toml") == other


@pytest.mark.parametrize(
    ("text", "field"), [('[job]\npermitt = "x"', "job.permitt"), ("[job]\npermit = 3", "job.permit"),
                        ("[[job.change]]\nwhat = \"x\"", "job.change[0].mark")],
)  # fmt: skip
def test_a_fault_in_a_title_names_its_field(tmp_path, text, field):
    wall = tmp_path / "a.toml"
    wall.write_text(WALL_TEXT + text + "\n")
    with pytest.raises(InputError) as found:
        read_job(wall)
    assert [fault.field for fault in found.value.faults] == [field]


WALL_TEXT = """edition = 2
[wall]
name = "North"
length = "16 ft"
height = "9 ft"
[wall.studs]
size = "2x6"
spacing = "16 in"
[[brace]]
mark = "B1"
stud_at = "4 ft"
head = "7 ft"
set_back = "8 ft"
size = "2x6"
[[brace]]
mark = "B2"
stud_at = "12 ft"
head = "7 ft"
set_back = "8 ft"
size = "2x6"
"""


@pytest.mark.parametrize(
    ("words", "option", "expected"),
    [
        (("-o", "x.html", "--scale", "1/4in"), "--scale", "a .dxf or .pdf"),
        (("-o", "x.pdf", "--scale", "7in"), "--scale", "to a foot"),
        (("-o", "x.pdf", "--scale", "0in"), "--scale", "to a foot"),
        (("-o", "x.pdf", "--scale", "1:0"), "--scale", "to a foot"),
        (("-o", "x.dxf", "--paper", "a5"), "--paper", "letter, tabloid, A3"),
        (
            ("-o", "x.dxf", "--paper", "letter", "--scale", "1 1/2in"),
            "--scale",
            "scale 3/8 in = 1 ft or smaller",
        ),
    ],
)
def test_a_scale_or_paper_that_cannot_be_is_one_line_and_writes_nothing(
    capsys, tmp_path, monkeypatch, words, option, expected
):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "wall.toml").write_text(WALL_TEXT)
    done = run(capsys, "sheet", "wall.toml", *words)
    assert done.status == 2
    assert option in done.err
    assert expected in done.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["wall.toml"]


def test_a_folder_of_walls_is_not_plotted(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "walls").mkdir()
    (tmp_path / "walls" / "wall.toml").write_text(WALL_TEXT)
    done = run(capsys, "sheet", "walls", "--scale", "1/4in", "--paper", "letter")
    assert done.status == 2
    assert done.err.count("one wall file, not a folder") == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["walls"]


def test_words_of_an_svg_stay_words_with_a_title_and_what_it_shows():
    told = svg_with_words(drawings(checked("slab-wall"))[:2], "A <wall> & more").decode()
    assert told.index("<title>A &lt;wall&gt; &amp; more</title>") < told.index("<desc>Elevation of the wall")
    for brace in braced("slab-wall").braces:
        assert re.search(rf"<text[^>]*>{brace.mark}</text>", told)
