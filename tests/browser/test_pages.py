"""The pages at the wall in a real browser: phone and desk, with a script and without, without a signal and back."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

import pytest

from bracing.reading.log import KEPT, LOG, read_rows
from bracing.reading.unfinished import open_entries
from bracing.site.desk import wall_id
from tests.browser.opening import browser, executable
from tests.cli.running import EXAMPLES

pytestmark = pytest.mark.browser
for needed in ("playwright", "flask", "waitress", "segno", "jinja2", "matplotlib"):
    pytest.importorskip(needed)
if executable() is None:
    pytest.skip("no Chromium on this machine", allow_module_level=True)

from playwright.sync_api import expect  # noqa: E402

SIZES = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    "desk": {"viewport": {"width": 1280, "height": 800}},
}
START_S = 120.0
# Everything a finger meets: 44 px each way; a link in a sentence would be another thing, and there is none.
SMALL = """[...document.querySelectorAll('a, button, input, select, textarea')].filter((one) => {
  const box = one.getBoundingClientRect(), style = getComputedStyle(one);
  const seen = one.type !== 'hidden' && box.width > 0 && style.visibility !== 'hidden' && box.right > 0;
  return seen && (box.width < 44 || box.height < 44);
}).map((one) => one.outerHTML.slice(0, 90))"""


def _folder(made, language):
    for name in ("short-wall-braced", "slab-wall"):
        text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
        (made / f"{name}.toml").write_text(text, encoding="utf-8")
    (made / "job.toml").write_text(
        f'[job]\nname = "Lot 14"\ntime_zone = "America/Chicago"\nlanguage = "{language}"\n', encoding="utf-8"
    )
    return made


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return _folder(tmp_path_factory.mktemp("job"), "en")


@pytest.fixture(scope="module")
def link(folder):
    with _serving(folder) as found:
        yield found


@contextmanager
def _serving(folder):
    """The link for the office a server prints as it begins."""
    words = (sys.executable, "-m", "bracing", "serve", str(folder), "--port", "0")
    env = {**os.environ, "COLUMNS": "80"}
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=env) as running:
        try:
            found, began = None, time.monotonic()
            while found is None and time.monotonic() - began < START_S:
                found = re.fullmatch(r"(http://127\.0\.0\.1:\d+)/k/\S+", running.stdout.readline().strip())
            assert found is not None
            yield found[0]
        finally:
            running.terminate()


@pytest.fixture(scope="module")
def chromium():
    with browser() as one:
        yield one


@pytest.fixture(params=SIZES)
def page(request, chromium, link):
    with _opened(chromium, link, **SIZES[request.param]) as one:
        yield one


class _opened:  # noqa: N801  (used as a word)
    def __init__(self, chromium, link, **settings):
        self.chromium, self.link, self.settings = chromium, link, settings

    def __enter__(self):
        self.context = self.chromium.new_context(**self.settings)
        self.context.set_default_timeout(60_000)
        page = self.context.new_page()
        page.heard = []
        page.on("console", lambda said: page.heard.append(said.text))
        page.on("pageerror", lambda error: page.heard.append(str(error)))
        page.goto(self.link)
        page.base = self.link.partition("/k/")[0]
        page.wait_for_selector("a.wall .big", timeout=120_000)
        return page

    def __exit__(self, *_):
        self.context.close()


def paths(folder):
    one = wall_id(folder / "short-wall-braced.toml")
    return (
        "/", f"/w/{one}", f"/w/{one}/walk", f"/w/{one}/walk/B1", f"/w/{one}/walk/all", f"/w/{one}/walk/finish",
        f"/w/{one}/tag", f"/w/{one}/lift", f"/w/{one}/take-down?gust=20", "/storm", "/log",
        f"/w/{wall_id(folder / 'slab-wall.toml')}", "/nope",
    )  # fmt: skip


def test_no_sideways_scroll_fingers_reach_all_and_a_checker_finds_nothing(page, folder):
    _look(page, folder)


def test_the_same_in_spanish_with_the_english_beneath(chromium, tmp_path):
    folder = _folder(tmp_path, "es")
    with _serving(folder) as link, _opened(chromium, link, **SIZES["phone"]) as page:
        _look(page, folder)
        _shoot(page, folder, tmp_path, "es-")
        page.goto(f"{page.base}/w/{wall_id(folder / 'short-wall-braced.toml')}")
        assert page.locator("#out").inner_text().startswith("SALGAN TODOS antes de")
        assert page.locator("#out .en").inner_text().startswith("CLEAR OUT before")
        box = page.locator("#out").bounding_box()
        assert box["y"] + box["height"] < 844


def _look(page, folder):
    axe = (Path(find_spec("axe_core_python").origin).parent / "axe.min.js").read_text(encoding="utf-8")
    rules = {"rules": {"color-contrast-enhanced": {"enabled": True}}}
    for path in paths(folder):
        page.goto(page.base + path)
        width = page.viewport_size["width"]
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
        assert page.evaluate(SMALL) == [], path
        page.evaluate(axe)
        run = "rules => axe.run(rules).then(r => r.violations.map(v => [v.id, v.nodes[0].html]))"
        assert page.evaluate(run, rules) == [], path
    assert [line for line in page.heard if "404" not in line] == []


def test_the_number_is_on_the_first_screen_of_a_phone(chromium, link, folder):
    with _opened(chromium, link, **SIZES["phone"]) as page:
        page.goto(f"{page.base}/w/{wall_id(folder / 'short-wall-braced.toml')}")
        box = page.locator("#out").bounding_box()
        assert box["y"] + box["height"] < 844
        assert page.locator("#out").inner_text().startswith("CLEAR OUT before")


def test_a_walk_with_scripts_off(chromium, link, folder):
    wall = folder / "short-wall-braced.toml"
    with _opened(chromium, link, java_script_enabled=False, **SIZES["phone"]) as page:
        page.goto(f"{page.base}/w/{wall_id(wall)}/walk/B1")
        page.fill("#B1-by", "lead framer")
        page.click("button[value=missing]")
        assert page.url.endswith("/walk/B2?taken=kept")
        page.goto(f"{page.base}/w/{wall_id(wall)}")
        assert "B1: missing (lead framer)" in page.inner_text("main")


def test_without_a_signal_answers_are_kept_and_sent_when_it_is_back(chromium, link, folder):
    wall, log = folder / "short-wall-braced.toml", folder / KEPT / LOG

    def entries():
        return open_entries(read_rows(log, wall.name))

    with _opened(chromium, link, **SIZES["phone"]) as page:
        page.goto(f"{page.base}/w/{wall_id(wall)}/walk/all")
        page.context.set_offline(True)
        for mark in ("B2", "B3"):
            page.fill(f"#{mark}-by", "lead framer")
            page.click(f"#{mark} button[value=missing]")
            expect(page.locator(f"[data-told={mark}]")).to_contain_text("kept on this phone")
        expect(page.locator("#queue")).to_have_text(re.compile(r"^2 not sent"))
        assert "B2" not in entries()
        page.context.set_offline(False)
        page.evaluate("dispatchEvent(new Event('online'))")
        expect(page.locator("#queue")).to_have_text("All is sent.")
        assert [entries()[mark][0].answer for mark in ("B2", "B3")] == ["missing", "missing"]
        page.context.set_offline(True)
        page.click("#B2 button[value=planned]")
        expect(page.locator("#queue")).to_have_text(re.compile(r"^1 not sent"))
        page.context.set_offline(False)
        page.reload()
        until = time.monotonic() + 10.0  # the page says so no longer than till it is read anew
        while [one.answer for one in entries()["B2"]] != [""]:
            assert time.monotonic() < until
            page.wait_for_timeout(100)


def test_a_page_that_was_open_opens_without_a_signal_and_says_when_it_is_old(chromium, link, folder):
    with _opened(chromium, link, **SIZES["phone"]) as page:
        page.goto(f"{page.base}/w/{wall_id(folder / 'short-wall-braced.toml')}")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()
        page.wait_for_function("navigator.serviceWorker.controller !== null")
        page.reload()
        page.context.set_offline(True)
        page.reload()
        assert page.locator("#out").is_visible()
        assert not page.locator("#old").is_visible()
        page.evaluate("document.body.dataset.made")
        page.clock.install(time=time.time() + 13 * 3600)
        page.reload()
        assert page.locator("#old").is_visible()


def test_shots_for_whoever_looks(chromium, link, folder, tmp_path):
    """Pictures of the pages, in the folder BRACING_SHOTS names; that each is there is all this holds."""
    with _opened(chromium, link, **SIZES["phone"]) as page:
        _shoot(page, folder, tmp_path)


def _shoot(page, folder, tmp_path, before=""):
    into = Path(os.environ.get("BRACING_SHOTS", tmp_path))
    for path in paths(folder):
        page.goto(page.base + path)
        name = before + (re.sub(r"[^a-z0-9]+", "-", path.lower()).strip("-") or "job")
        page.screenshot(path=into / f"{name}.png", full_page=True)
        assert (into / f"{name}.png").stat().st_size > 0
