"""Where the recorded answers lie, how they are packed, and what lets them be recorded anew.

recorded/examples/*.json      plain, for the short answers of the examples
recorded/examples/*.json.xz   packed, for the long ones
recorded/random/*.json.xz     one file a command for the random walls
recorded/about.json           hashes of the walls' texts and of the files, and why they were recorded
limits.csv                    a line a wall: what a person reads a change in
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import lzma
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tests.golden import runs, walls

HERE = Path(__file__).parent
CHANGELOG = HERE.parents[1] / "CHANGELOG.md"
DIGITS = 8  # significant digits kept: a hundredth of what is tolerated
PACKED = ("check", "check-gust", "fasteners", "trace", "layout", "layout-missing", "sheet", "several")
UNRELEASED, NUMBERS = "## Unreleased", "### Numbers changed"
COLUMNS = ("wall", "braces", "limit", "clear_out", "one_missing", "gives_first", "engineer")


def kept(subject: str, answer: Any) -> Any:
    """An answer as it is kept: eight digits, and of most random walls the first items of every list."""
    most = None if runs.is_entire(subject) else runs.LONGEST
    return _kept(answer, most)


def _kept(value: Any, most: int | None) -> Any:
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}")
    if isinstance(value, dict):
        return {key: _kept(inner, most) for key, inner in value.items()}
    if isinstance(value, list):
        first = [_kept(inner, most) for inner in value[:most]]
        return first if len(first) == len(value) else [*first, {"more": len(value) - len(first)}]
    return value


def write(folder: Path, found: runs.Answers, *, because: list[str], changelog: str) -> None:
    """Write everything, files that are as they were untouched; a line a wall into limits.csv beside it."""
    content = _files(found)
    for path in (*folder.rglob("*.json"), *folder.rglob("*.xz")):
        if path.relative_to(folder).as_posix() not in content:
            path.unlink()
    for name, text in content.items():
        path = folder / name
        if not path.exists() or text_of(path) != text:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(packed(text) if name.endswith(".xz") else text.encode())
    of_random = [subject for subject in found.get("check", {}) if runs.is_random(subject)]
    about = {
        "because": because,
        "entries": sorted(map(digest, entries(changelog))),
        "files": {name: digest(text) for name, text in sorted(content.items())},
        "seed": walls.SEED,
        "walls": {subject: digest(runs.wall_text(subject)) for subject in sorted(of_random)},
    }
    (folder / "about.json").write_text(
        json.dumps(about, indent=1, ensure_ascii=False) + "\n", encoding="utf-8"
    )
    folder.with_name("limits.csv").write_text(limits(found.get("check", {})), encoding="utf-8")


def _files(found: runs.Answers) -> dict[str, str]:
    """Every file with its text, before it is packed."""
    content = {}
    for key, by_subject in found.items():
        for place in ("examples", "random"):
            some = {s: kept(s, a) for s, a in by_subject.items() if runs.is_random(s) == (place == "random")}
            if not some:
                continue
            if place == "examples" and key not in PACKED:
                content[f"examples/{key}.json"] = (
                    json.dumps(some, indent=1, sort_keys=True, ensure_ascii=False) + "\n"
                )
            else:
                text = json.dumps(some, separators=(",", ":"), sort_keys=True, ensure_ascii=False)
                content[f"{place}/{key}.json.xz"] = text
    return content


def packed(text: str) -> bytes:
    """A text as it lies in a packed file: the same bytes for the same text."""
    return lzma.compress(text.encode(), preset=9)


def text_of(path: Path) -> str:
    """The text of a recorded file, packed or not."""
    raw = path.read_bytes()
    return (lzma.decompress(raw) if path.suffix == ".xz" else raw).decode()


def read(folder: Path) -> runs.Answers:
    """Everything that is recorded."""
    found: runs.Answers = {}
    for path in sorted((*folder.rglob("*.json"), *folder.rglob("*.json.xz"))):
        if path.name != "about.json":
            found.setdefault(path.name.split(".")[0], {}).update(json.loads(text_of(path)))
    return found


def about(folder: Path) -> dict[str, Any]:
    """What is known of the recorded answers; nothing where none are."""
    path = folder / "about.json"
    return json.loads(path.read_text("utf-8")) if path.exists() else {}


def spoilt(folder: Path) -> list[str]:
    """Recorded files whose content is not what was written into them."""
    known = about(folder).get("files", {})
    return [name for name, was in known.items() if digest(text_of(folder / name)) != was]


def limits(checks: dict[str, Any]) -> str:
    """The table of limits, from the answers of `check`."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    for subject in sorted(checks, key=lambda name: (runs.is_random(name), name)):
        answer = checks[subject]["answer"]
        first = answer.get("gives_first") or {}
        at = f" of {first['mark']}" if first.get("mark") else ""
        table.writerow((
            subject, runs.wall_text(subject).count("\n[[brace]]"),
            answer.get("limit_gust_mph"), answer.get("clear_out_gust_mph"),
            answer.get("limit_gust_one_missing_mph"),
            f"{first['link']}{at}, {first['direction']}" if first else "",
            len(answer.get("engineer", ())) or "",
        ))  # fmt: skip
    return out.getvalue()


# -- what lets them be recorded anew -----------------------------------------------------------------------------------


def entries(changelog: str) -> list[str]:
    """The entries of *Numbers changed* under Unreleased, each on one line.

    >>> entries("## Unreleased\\n### Numbers changed\\n* One\\n  moved.\\n* Two.\\n### Added\\n* Three.\\n")
    ['One moved.', 'Two.']
    """
    section = (
        changelog.partition(UNRELEASED)[2].partition("\n## ")[0].partition(NUMBERS)[2].partition("\n### ")[0]
    )
    return [" ".join(part.split()) for part in re.split(r"^\* ", section, flags=re.MULTILINE)[1:]]


def new_entries(changelog: str, known: Iterable[str]) -> list[str]:
    """Those that were not there when the answers were last recorded."""
    known = set(known)
    return [entry for entry in entries(changelog) if digest(entry) not in known]


def digest(text: str) -> str:
    """A short hash of a text."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]
