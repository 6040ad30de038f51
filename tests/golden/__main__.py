"""Hold what commands answer now against what is recorded, or record it anew.

    python -m tests.golden                 what differs, limits first
    python -m tests.golden --all           every difference on a line of its own
    python -m tests.golden w017 as-found   of these walls only
    python -m tests.golden --text w017     the wall file of a random wall
    python -m tests.golden --write         record anew: refused without a new entry in CHANGELOG.md, Numbers changed
    python -m tests.golden --keep FOLDER   any of these, taken up again where it was broken off
    python -m tests.golden --write --added record anew where something was added and nothing else differs

Exit status 1 where something differs, 2 where recording is refused.
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from tests.golden import compare, runs, store

RECORDED = store.HERE / "recorded"


def differing(recorded: runs.Answers, now: runs.Answers, subjects: list[str]) -> list[compare.Difference]:
    """What differs on some subjects."""
    found: list[compare.Difference] = []
    for key, by_subject in recorded.items():
        for subject, was in by_subject.items():
            of_now = now.get(key, {})
            if key == "several" and runs.FOLDER in subjects:
                is_now = store.kept(runs.FOLDER, of_now.get(subject))
                found += compare.differences(subject, runs.FOLDER, was, is_now)
            elif subject in subjects:
                found += compare.differences(key, subject, was, store.kept(subject, of_now.get(subject)))
    return found


def main(
    arguments: list[str] | None = None, *, folder: Path = RECORDED, changelog: Path = store.CHANGELOG
) -> int:
    """Do what is asked; give the exit status."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.golden", description=(__doc__ or "").splitlines()[0]
    )
    parser.add_argument("walls", nargs="*", help="only these; all unless given")
    parser.add_argument(
        "--show", action="store_true", help="print what differs: what is done unless --write is given"
    )
    parser.add_argument("--all", action="store_true", help="every difference on a line of its own")
    parser.add_argument("--text", action="store_true", help="print the wall files instead")
    parser.add_argument("--write", action="store_true", help="record anew")
    parser.add_argument("--added", action="store_true", help="record anew what was only added to")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument(
        "--keep", type=Path, help="folder to take up a run that was broken off; empty it yourself"
    )
    asked = parser.parse_args(arguments)
    if asked.keep:
        asked.keep = asked.keep.resolve()
        asked.keep.mkdir(parents=True, exist_ok=True)
    subjects = asked.walls or runs.subjects()
    if asked.text:
        print("\n".join(runs.wall_text(subject) for subject in subjects))
        return 0
    written, because = changelog.read_text("utf-8"), []
    known = store.about(folder)
    if asked.write and known and not asked.added:
        because = store.new_entries(written, known["entries"])
        if not because:
            print(
                "not recorded: CHANGELOG.md has no new entry under Unreleased, Numbers changed, since the last time"
            )
            return 2
    now = runs.answers(subjects, workers=asked.workers, keep=asked.keep)
    found = differing(store.read(folder), now, subjects)
    print(compare.report(found, every=asked.all))
    if not asked.write:
        return 1 if found else 0
    if asked.added and found:
        print(
            "not recorded: more than an addition differs; without --added, and with an entry in CHANGELOG.md"
        )
        return 2
    if asked.walls and folder == RECORDED:
        print("not recorded: all walls are recorded together")
        return 2
    store.write(folder, now, because=because or known.get("because", []), changelog=written)
    return 0


if __name__ == "__main__":
    sys.exit(main())
