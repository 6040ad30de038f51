"""The page in a real browser: phone and paper, slider by touch and keys, scripts off, hostile names, no request."""

from __future__ import annotations

import importlib.util
import io
import math
from pathlib import Path

import pytest
from attrs import evolve

from bracing.results import worst_first
from bracing.sheet.facts import gather
from bracing.sheet.folder import FolderWall, index_page
from bracing.sheet.writing import page_of
from tests.browser.opening import browser, executable, opened
from tests.sheet_walls import NAMES, braced

pytestmark = [pytest.mark.browser, pytest.mark.slow]
pytest.importorskip("playwright")
pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")
if executable() is None:
    pytest.skip("no Chromium on this machine", allow_module_level=True)

PHONE = {
    "viewport": {"width": 360, "height": 740},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
}
DESK = {"viewport": {"width": 1100, "height": 900}}
HOSTILE = (
    "<script>document.title='x'</script>", '"><img src=x onerror=alert(1)>', "x" * 80,
    "\u05e7\u05d9\u05e8 \u05d3\u05e8\u05d5\u05dd", "javascript:alert(1)",
)  # fmt: skip


@pytest.fixture(scope="module")
def chromium():
    with browser() as one:
        yield one


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("pages")


@pytest.fixture(scope="module")
def all_facts():
    return {name: gather(braced(name), gust=30.0, rungs=False) for name in NAMES}


@pytest.fixture(scope="module")
def files(folder, all_facts):
    found = {}
    for name, facts in all_facts.items():
        found[name] = folder / f"{name}.html"
        found[name].write_text(page_of(facts), encoding="utf-8")
    return found


@pytest.fixture(params=NAMES)
def name(request):
    return request.param


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_page_opens_with_no_request_and_nothing_on_its_console(chromium, files, name, size):
    with opened(chromium, files[name], **size) as page:
        page.wait_for_function("document.readyState === 'complete'")
        assert page.heard == []
        assert page.asked == []
        assert page.evaluate("[...document.images].every((i) => i.complete && i.naturalWidth > 100)")


def test_the_first_screen_of_a_phone_has_clear_out_verdict_and_the_picture(chromium, files, all_facts, name):
    shown = ["text=/^CLEAR OUT/", ".verdict strong", ".narrow img"]
    with opened(chromium, files[name], **{**PHONE, "viewport": {"width": 390, "height": 844}}) as page:
        boxes = [page.locator(each).first.bounding_box() for each in shown]
        bottoms = [box["y"] + box["height"] for box in boxes]
        assert bottoms == sorted(bottoms)
        assert bottoms[-1] <= 844
        assert boxes[-1]["width"] >= 330
        assert page.locator(".verdict strong").first.inner_text() in ("WITHIN", "OVER")
        assert not page.locator(".broad").is_visible()


def test_no_sideways_scroll_at_360_px(chromium, files, name):
    with opened(chromium, files[name], **PHONE) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        assert page.evaluate("document.documentElement.clientWidth") == 360
        wide = page.evaluate(
            "[...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > 361"
            " && !e.closest('thead')).map((e) => e.outerHTML.slice(0, 80))"
        )
        assert wide == []


def test_the_slider_moves_by_keys(chromium, files, all_facts, name):
    result = all_facts[name].result
    with opened(chromium, files[name], **DESK) as page:
        page.focus("#gust")
        for key, gust in (("Home", 5), ("ArrowRight", 6), ("End", 80), ("ArrowLeft", 79)):
            page.keyboard.press(key)
            side = "within" if gust <= result.limit_whole else "over"
            assert page.inner_text("#said").startswith(f"{gust} mph: {side} its limit as drawn")
            assert page.get_attribute("#gust", "aria-valuetext") == page.inner_text("#said")


def test_the_slider_moves_by_touch(chromium, files, all_facts):
    result = all_facts["rake-wall"].result
    with opened(chromium, files["rake-wall"], **PHONE) as page:
        page.locator("#gust").scroll_into_view_if_needed()
        box = page.locator("#gust").bounding_box()
        assert box["height"] >= 40.0  # a finger's width
        said = []
        for part in (0.1, 0.9):
            page.touchscreen.tap(box["x"] + box["width"] * part, box["y"] + box["height"] / 2.0)
            said.append(page.inner_text("#said"))
        gusts = [int(words.split()[0]) for words in said]
        assert gusts[0] < result.limit_whole < gusts[1]
        assert "within its limit as drawn" in said[0]
        assert "over its limit as drawn" in said[1]


def test_links_and_braces_follow_the_gust_dragged(chromium, files, all_facts, name):
    """Every live cell against the check's own limits, at a gust on each side of the wall's limit."""
    facts = all_facts[name]
    lowest: dict[str, float] = {}
    for link in facts.result.evaluation.links:
        if link.mark is not None:
            lowest[link.mark] = min(lowest.get(link.mark, math.inf), link.limit_gust)
    with opened(chromium, files[name], **DESK) as page:
        page.locator("summary").click()
        for gust in (10, 35, 60):
            page.evaluate(
                "(g) => { const i = document.getElementById('gust'); i.value = g;"
                " i.dispatchEvent(new Event('input')); }",
                gust,
            )
            cells = page.evaluate(
                "[...document.querySelectorAll('[data-at]')].map((c) => [c.closest('tr').querySelector('th').innerText,"
                " c.dataset.limit, c.innerText, c.hidden])"
            )
            assert len(cells) > len(lowest) + 10
            for what, limit, words, hidden in cells:
                assert words == f"{'within' if gust <= int(limit) else 'over'} at {gust} mph"
                assert hidden is False
                if what in lowest:
                    assert words.startswith("within" if gust <= math.floor(lowest[what] + 1e-9) else "over")


def test_the_page_is_complete_with_scripts_off(chromium, files, all_facts, name):
    result = all_facts[name].result
    with opened(chromium, files[name], java_script_enabled=False, **PHONE) as page:
        assert page.heard == []
        assert not page.locator("#slider").is_visible()
        text = page.locator("main").inner_text()
        assert f"Limit gust: {result.limit_whole} mph" in text
        for part in ("58 mph", "A card a brace", "cut list", "Take-down order"):
            assert part in text
        assert "Trace of the sums" not in text
        page.locator("summary").click()  # the fold needs no script
        text = page.locator("main").inner_text()
        for part in ("Trace of the sums", "Identity"):
            assert part in text
        assert "At the gust dragged" not in text
        assert page.locator("img").count() >= 7


def test_names_meant_to_do_harm_stay_words(chromium, folder, all_facts):
    job = all_facts["slab-wall"].job
    for number, words in enumerate(HOSTILE):
        hostile = evolve(
            job, wall=evolve(job.wall, name=words), file=words,
            braces=(evolve(job.braces[0], mark=words), *job.braces[1:]),
        )  # fmt: skip
        file = folder / f"hostile-{number}.html"
        file.write_text(page_of(gather(hostile, gust=30.0, rungs=False)), encoding="utf-8")
        with opened(chromium, file, **PHONE) as page:
            page.on("dialog", lambda dialog, heard=page.heard: heard.append(f"dialog: {dialog.message}"))
            page.wait_for_function("document.readyState === 'complete'")
            assert page.evaluate("document.querySelector('h1').textContent") == words
            assert (page.heard, page.asked) == ([], [])
            assert page.title().endswith("brace sheet, PLAN")
            assert page.evaluate("document.scripts.length") == 1
            assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_policy_stops_a_script_and_a_picture_from_elsewhere(chromium, folder, files):
    """The policy is no ornament: what is put into the page by force is not run and not fetched."""
    text = files["slab-wall"].read_text(encoding="utf-8")
    bad = "<script>document.title = 'run'</script><img src='http://127.0.0.1:9/x.png' alt=''><p style='color:red'>x</p>"
    file = folder / "forced.html"
    file.write_text(text.replace("</main>", f"{bad}</main>"), encoding="utf-8")
    with opened(chromium, file, **DESK) as page:
        assert page.title() != "run"
        assert sum("Content Security Policy" in said for said in page.heard) >= 3


def test_nothing_is_told_by_colour(chromium, files, name):
    """Black, white and greys only, in the page and in its pictures; words have 7 to 1 against what is behind them."""
    image = pytest.importorskip("PIL.Image")
    with opened(chromium, files[name], **DESK) as page:
        shot = image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB").resize((400, 3000))
        spread = max(max(pixel) - min(pixel) for pixel in shot.get_flattened_data())
        assert spread <= 12
        ink = page.evaluate(
            "[...new Set([...document.querySelectorAll('main *')].map((e) => getComputedStyle(e).color))]"
        )
        assert ink == ["rgb(0, 0, 0)"]


def test_paper_shows_no_slider_and_no_cut_off_table(chromium, files, name):
    pypdf = pytest.importorskip("pypdf")
    with opened(chromium, files[name], **DESK) as page:
        page.emulate_media(media="print")
        assert not page.locator("#slider").is_visible()
        for tick, most in (
            (False, 5),
            (True, 10),
        ):  # the crew's pages; the clipboard's too where that is ticked
            page.emulate_media(media="screen")
            page.locator("#printed").set_checked(tick)
            page.emulate_media(media="print")
            printed = pypdf.PdfReader(io.BytesIO(page.pdf(format="Letter")))
            text = " ".join(" ".join(sheet.extract_text() for sheet in printed.pages).split())
            assert 3 <= len(printed.pages) <= most
            assert all(part in text for part in ("A card a brace", "cut list"))
            assert [part in text for part in ("Take-down order", "Planned and found")] == [tick, tick]
            assert "Trace of the sums" not in text
        page.set_viewport_size({"width": 700, "height": 900})  # 7.3 in of paper at 96 to the inch
        assert page.evaluate("document.documentElement.scrollWidth") <= 700


def test_the_accessibility_checker_finds_nothing(chromium, files, name):
    """axe-core, all its rules; the checker is put in past the policy, which is tested above."""
    found = importlib.util.find_spec("axe_core_python")
    if found is None or found.origin is None:
        pytest.skip("no accessibility checker")
    source = (Path(found.origin).parent / "axe.min.js").read_text(encoding="utf-8")
    for size in (PHONE, DESK):
        with opened(chromium, files[name], bypass_csp=True, **size) as page:
            page.add_script_tag(content=source)
            faults = page.evaluate(
                "axe.run().then((r) => r.violations.map((v) => [v.id, v.nodes[0].html.slice(0, 120)]))"
            )
            assert faults == []


def test_the_index_of_a_job_opens_too(chromium, folder, files, all_facts):
    walls = worst_first(
        [FolderWall(facts.job, facts, "") for facts in all_facts.values()], lambda wall: wall.asked
    )
    file = folder / "index.html"
    file.write_text(index_page(tuple(walls)), encoding="utf-8")
    with opened(chromium, file, **PHONE) as page:
        assert (page.heard, page.asked) == ([], [])
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        limits = [wall.facts.result.limit for wall in walls]
        assert limits == sorted(limits)
        page.locator('tbody a[href="rake-wall.html"]').click()
        assert "brace sheet" in page.title()
