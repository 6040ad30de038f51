"""A page opened in the system's Chromium, with all it says on its console and all it asks for written down."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from pathlib import Path

ARGUMENTS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


def executable() -> str | None:
    """The system's own browser, or None."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


@contextmanager
def browser():
    """The browser, closed at the end."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=executable(), args=list(ARGUMENTS))
        try:
            yield opened
        finally:
            opened.close()


@contextmanager
def opened(one, file: Path, **settings):
    """A page of a file. `page.heard` is its console, errors included; `page.asked` what it asked for beside itself."""
    context = one.new_context(offline=True, **settings)
    page = context.new_page()
    page.heard, page.asked = [], []
    page.on("console", lambda said: page.heard.append(said.text))
    page.on("pageerror", lambda error: page.heard.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    page.goto(file.resolve().as_uri())
    page.asked = [url for url in page.asked if not url.startswith(("data:", file.resolve().as_uri()))]
    try:
        yield page
    finally:
        context.close()
