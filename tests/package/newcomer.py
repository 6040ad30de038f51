"""A newcomer's hour: a clean folder, a new environment, nothing read but README.md and the quick start.

    python -m tests.package.newcomer FOLDER      # every screen onto the terminal, as the newcomer sees it

FOLDER is made, and must not be there yet. The source is unpacked into it as a stranger gets it, then README.md's own
first command is typed to the letter, the questions of `bracing start` are answered in a real terminal of 80 columns,
and the wall that comes out goes through the quick start's steps, in its order. Whatever a screen says to type next is
read off that screen and typed. tests/package/test_newcomer.py holds what comes out.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import sysconfig
import tarfile
from pathlib import Path
from typing import NamedTuple, TextIO

import pexpect

from bracing.reading.jobs import read_job
from bracing.reading.looking import things_to_see

ROOT = Path(__file__).parents[2]
SIZE = (40, 80)
LONGEST_S = 900
# The dozen answers of somebody with a tape, with what a person mistypes, asks and takes back among them.
ANSWERS = (
    ("What do you call this wall", "South gable"),
    ("level, gable or rake", "?"),
    ("Rake: one slope", "gable"),
    ("LEFT is at your left hand", "driveway end"),
    ("Tape the bottom plate", "28"),  # no unit: asked again
    ("expected a length with its unit", "28 ft"),
    ("Tape from the floor", "9 ft"),
    ("How high is the peak", "back"),
    ("Enter keeps it", "9 ft 1 1/8 in"),
    ("How high is the peak", "14 ft"),
    ("Studs: what size", "2x6 16 in, SPF No.2"),
    ("nailed on", "osb 7/16, housewrap"),
    ("Doors and windows", ""),
    ("What do the braces stand on", "deck"),
    ("on which storey", "3 ft"),
    ("Joists", "solid 2x10, 16 in, away"),
    ("Fasteners for the braces", "structural screw 0.22x3"),
    ("Sticks on hand", "2x6 16 ft, 2x6 20 ft"),
    ("go on?", "yes"),
    ("Braces up already", ""),
    ("grade stamp on a brace", "SPF No.2"),
    ("from cleat to floor", "structural screw 0.22x5"),
    ("Are holes bored", "yes"),
    ("Bottom plate: which fastener", "16d common 16 in"),
    ("only tacked", "final into joists"),
    ("How far is its row of fasteners", "3/4 in"),
    ("sheathing's foot is nailed to", "plate"),
    ("With which nail", "8d common 6 in"),
    ("kept dry", "done"),
)


class Screen(NamedTuple):
    """What one command showed, and how it ended."""

    line: str
    text: str
    status: int

    @property
    def settled(self) -> str:
        """What stands there in the end: a bar written over is gone."""
        return "\n".join(re.sub(r"^.*\r(?:\x1b\[K)?", "", row) for row in self.text.split("\n"))

    @property
    def next_lines(self) -> list[str]:
        """The commands it says to type next, whole."""
        joined = re.sub(r" \\\n\s+", " ", self.settled)
        found = re.findall(r"^ +((?:bracing|\S*python\S* -m pip) .+)$", joined, re.MULTILINE)
        return found + re.findall(r"^next: (?:.*then: )?(.+)$", joined, re.MULTILINE)


class Hour:
    """The folder, and all that was seen in it.

    Attributes:
        home: the unpacked source, where everything is typed.
        screens: in the order they were seen.
    """

    def __init__(self, folder: Path, shown: TextIO | None = None) -> None:
        """Unpack the source as a stranger gets it.

        Args:
            folder: where; made, and not there yet.
            shown: where every screen goes too.
        """
        folder.mkdir(parents=True)
        words = (sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", str(folder / "dist"))
        subprocess.run(words, cwd=ROOT, check=True, capture_output=True, timeout=LONGEST_S)
        (archive,) = (folder / "dist").glob("*.tar.gz")
        with tarfile.open(archive) as unpacked:
            unpacked.extractall(folder, filter="data")
        (self.home,) = (path for path in folder.iterdir() if path.name.startswith("bracing-"))
        self.screens: list[Screen] = []
        self.shown = shown

    @property
    def env(self) -> dict[str, str]:
        """A plain shell's: nothing of this environment's own, `python3` being the one this runs on."""
        kept = {
            k: v
            for k, v in os.environ.items()
            if not k.startswith(("PYTHON", "COVERAGE", "VIRTUAL_ENV", "COLUMNS"))
        }
        python = Path(sysconfig.get_path("scripts", vars={"base": sys.base_prefix}))
        return kept | {"PATH": os.pathsep.join((str(self.home / ".venv" / "bin"), str(python), kept["PATH"]))}

    def type(self, line: str, answers: tuple[tuple[str, str], ...] = ()) -> Screen:
        """Type a line into a terminal, where README.md's line has been typed before, and give what it showed.

        Args:
            line: as typed; a shell reads it.
            answers: what is awaited on the screen, and what is typed then.
        """
        before = f"{activating()} && " if (self.home / ".venv").is_dir() else ""
        child = pexpect.spawn(
            "/bin/bash", ["-c", before + line], cwd=str(self.home), env=self.env, encoding="utf-8", timeout=LONGEST_S,
            dimensions=SIZE,
        )  # fmt: skip
        seen = []
        for awaited, answer in answers:
            child.expect_exact(awaited)
            seen += [child.before, awaited]
            child.expect("> ")
            seen += [child.before, "> "]
            child.sendline(answer)
        child.expect(pexpect.EOF)
        child.wait()
        child.close()
        text = "".join((*seen, child.before)).replace("\r\n", "\n")
        screen = Screen(line, text, child.exitstatus if child.exitstatus is not None else -1)
        self.screens.append(screen)
        if self.shown is not None:
            self.shown.write(f"$ {line}\n{screen.settled}[{screen.status}]\n\n")
            self.shown.flush()
        return screen

    def commands_of(self, page: str) -> list[str]:
        """Every command a page shows, in its order: those under console blocks.

        Args:
            page: its file, in the folder.
        """
        text = (self.home / page).read_text(encoding="utf-8")
        blocks = re.findall(r"^```console\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
        return [line[2:] for block in blocks for line in block.splitlines() if line.startswith("$ ")]


def readme_commands() -> list[str]:
    """The commands README.md gives to copy, in its order: first to lay out an example, then to work on the code."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    return re.findall(r"^    (python3 -m venv .+)$", text, re.MULTILINE)


def activating() -> str:
    """The line README.md gives, by which a terminal finds the program."""
    found = re.search(r"`(source \S+)`", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert found
    return found[1]


def spend(hour: Hour) -> dict[str, Screen]:
    """Spend it; give the screens of the steps by name.

    Args:
        hour: a folder with nothing done in it.
    """
    seen = {"install": hour.type(readme_commands()[0]), "version": hour.type("bracing --version")}
    seen["help"] = hour.type("bracing --help")
    seen["start"] = hour.type("bracing start", (*ANSWERS, ("Lay it out now?", "35")))
    name = "south-gable.toml"
    (writing,) = (line for line in seen["start"].next_lines if line.endswith("--write"))
    seen["write"] = hour.type(writing)
    seen["check"] = hour.type(f"bracing check {name} --gust 35")
    seen["no extra"] = hour.type(f"bracing sheet {name} --gust 35")
    seen["extra"] = hour.type(seen["no extra"].next_lines[-1])
    seen["sheet"] = hour.type(f"bracing sheet {name} --gust 35")
    seen["storm"] = hour.type(f'bracing storm {name} --gust 50 --storms --from "tomorrow 8 pm"')
    count = (hour.home / name).read_text(encoding="utf-8").count("[[brace]]")
    walk = [(f"B{k}: ", "") for k in range(1, count)] + [(f"B{count}: ", "floor 2")]
    walk += [("named here?", "")] + [(": ", "")] * len(things_to_see(read_job(hour.home / name)))
    seen["built"] = hour.type(f"bracing built {name}", (*walk, ("by role", "lead framer")))
    seen["as built"] = hour.type(seen["built"].next_lines[-1])
    seen["stages"] = hour.type(f"bracing stages {name} --gust 25")
    seen["trace"] = hour.type(f"bracing trace {name} --gust 35")
    for page in ("README.md", "docs/quick-start.md"):
        for line in hour.commands_of(page):
            seen[f"{page}: {line}"] = hour.type(line)
    seen["misspelt"] = hour.type("bracing chek south-gable.toml --gust 35")
    seen["put right"] = hour.type(seen["misspelt"].next_lines[-1])
    return seen


def main() -> None:
    """Spend an hour in the folder named, every screen shown."""
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    hour = Hour(Path(sys.argv[1]), sys.stdout)
    spend(hour)
    print(f"{len(hour.screens)} screens; the folder: {shlex.quote(str(hour.home))}")


if __name__ == "__main__":
    main()
