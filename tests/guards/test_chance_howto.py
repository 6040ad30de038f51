"""What the manual works out of chances is what the commands say now."""

import csv
import re
import shutil

from tests.cli.running import EXAMPLES, ROOT, run

HOW = (ROOT / "docs" / "how-to.md").read_text(encoding="utf-8").partition("## How likely is it, really?")[2]
WALLS = ("short-wall-braced.toml", "as-found.toml", "short-wall.toml")
MOMENT = ("--now", "2026-03-06 12:00")


def test_the_ladder_by_chance_is_that_of_the_page(capsys):
    out = run(capsys, "chance", EXAMPLES / WALLS[0], "--gust", "45", "--mends", *MOMENT, "--zone", "UTC").out
    head = "limit   line goes  joints missed  min for two"
    told, shown = (
        [line.strip() for line in re.search(rf"^ *{head}\n(?:.*\n){{4}}", text, re.MULTILINE)[0].splitlines()]
        for text in (HOW, out)
    )
    assert told == shown
    line = {row.split("  ")[0]: [int(n) for n in re.findall(r"(\d+) \(", row)] for row in shown[1:]}
    walk, brace, now = line["a walk"], line["one brace more"], line["as it stands"]
    assert (
        f"{now[1]} go tonight. A walk\nkeeps {now[1] - walk[1]} of them, a brace more {now[1] - brace[1]}."
        in HOW
    )
    assert f"the brace keeps {now[0] - brace[0]} of {now[0]}." in HOW


def test_the_insurers_table_is_that_of_the_page(capsys, tmp_path):
    for name in WALLS:
        shutil.copy(EXAMPLES / name, tmp_path / name)
    listed = re.search(r"^ +(name,file\n(?: +.+\n)+)", HOW, re.MULTILINE)[1].replace(" " * 4, "")
    (tmp_path / "LIST.csv").write_text(listed, encoding="utf-8")
    run(capsys, "walls", tmp_path / "LIST.csv", "--gust", "45", "--chance", "--workers", "1", *MOMENT)
    rows = list(csv.DictReader((tmp_path / "LIST.chances.csv").read_text(encoding="utf-8").splitlines()))
    for row in rows:
        name = row["wall"] + (", no braces on file" if row["gives_first"] == "no braces on file" else "")

        def ranged(of, row=row):
            share = row[f"{of}_of_100"]
            return share and f"{share} ({row[f'{of}_low']}-{row[f'{of}_high']})"

        weeks = ("at least " if row["weeks_at_least"] else "") + ranged("weeks")
        limits = row["clear_out_gust_mph"], row["limit_gust_mph"]
        cells = (name, *limits, ranged("tonight"), ranged("tonight_missed"), weeks, row["no_chance"])
        assert "| " + " | ".join(cells).replace("|  |", "| |").replace("|  |", "| |").rstrip() in HOW, cells
    assert len(rows) == len(WALLS)
