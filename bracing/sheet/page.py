"""The page as HTML, one file with all it needs; and the same page as PDF."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from importlib import resources
from typing import Any

from bracing.errors import MissingExtraError

PARTS = "parts"


def html(name: str, content: dict[str, object]) -> str:
    """Fill a template. Text of the user is escaped; scripts and styles are named by their hash.

    Args:
        name: of the template.
        content: what it prints.

    Raises:
        MissingExtraError: the template library is not installed.
    """
    style, script = _part("sheet.css"), _part("slider.js")
    policy = (
        f"default-src 'none'; img-src data:; style-src '{_hash(style)}'; script-src '{_hash(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    environment = _environment()
    page = environment.get_template(name).render(
        **content, policy=policy, style=_as_is(style), script=_as_is(script), blank="_" * 24
    )
    return str(page).encode(errors="replace").decode()  # a file's name may hold bytes that are no letters


def pdf(pages: list[str]) -> bytes:
    """Turn filled templates into one PDF, each beginning a new sheet of paper.

    Args:
        pages: the HTML of each.

    Raises:
        MissingExtraError: the PDF library, or what it needs of the system, is not installed.
    """
    try:
        import weasyprint
        from weasyprint.urls import URLFetcher
    except (ImportError, OSError) as error:  # an OSError where the system's text library is missing
        package = "weasyprint"
        raise MissingExtraError(package, "pdf") from error
    only_data = URLFetcher(allowed_protocols={"data"})  # a page fetches nothing but what it carries
    footers = [weasyprint.CSS(string=_part("paper.css"))]
    documents = [
        weasyprint.HTML(string=page, url_fetcher=only_data).render(stylesheets=footers) for page in pages
    ]
    first = documents[0]
    all_pages = [page for document in documents for page in document.pages]
    return bytes(first.copy(all_pages).write_pdf())


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


@cache
def _part(name: str) -> str:
    return resources.files("bracing").joinpath("sheet", PARTS, name).read_text(encoding="utf-8")


def _as_is(text: str) -> Any:  # noqa: ANN401
    from markupsafe import Markup

    return Markup(text)


@cache
def _environment() -> Any:  # noqa: ANN401
    try:
        import jinja2
    except ImportError as error:
        package = "jinja2"
        raise MissingExtraError(package, "sheet") from error
    return jinja2.Environment(
        loader=jinja2.FunctionLoader(_part), autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
