"""The folder beside the wall files in which a watch and a log keep what they must not forget."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import field, frozen

from bracing.errors import InputError, why_not
from bracing.reading.files import compare_and_replace, digest, locked
from bracing.reading.log import KEPT

STATE = "watch.json"
SCHEMA = "bracing.watch-state.1"
PATIENCE_S = 120.0  # another watch of the same folder may wait for a mail server
MOST_BYTES = 4_000_000


def kept_folder(folder: Path) -> Path:
    """Give the folder, made where it is not there.

    Args:
        folder: the folder of walls.

    Raises:
        InputError: it cannot be made.
    """
    kept = folder / KEPT
    try:
        kept.mkdir(exist_ok=True)
    except OSError as error:
        where = "FOLDER"
        raise InputError.of(where, str(kept), f"a folder that can be written ({why_not(error)})") from None
    return kept


@frozen
class Outgoing:
    """A message that is to be sent: kept until everybody has it, under one id.

    Attributes:
        id: its Message-ID, the same each time it is tried.
        at: when it was made, as ISO 8601.
        subject: one line.
        text: the message.
        waiting: where it has not been taken yet: a mail address, or the webhook.
        sent: where it has.
        body: what the webhook takes.
    """

    id: str
    at: str
    subject: str
    text: str = field(repr=False)
    waiting: tuple[str, ...] = ()
    sent: tuple[str, ...] = ()
    body: str = field(default="", repr=False)


@frozen
class State:
    """What a watch knows of the last time it looked.

    Attributes:
        told: by file, the verdict and by when all are out, as last told; None where nothing ever was.
        warned: the alerts last told.
        better: how many looks running have found it better than was told.
        outgoing: the last message, while somebody has not got it.
        was: digest of the file it was read from; None where there was none.
        broken: why the file there could not be read; then nothing was ever told.
    """

    told: Mapping[str, Any] | None = None
    warned: tuple[tuple[str, str], ...] = ()
    better: int = 0
    outgoing: Outgoing | None = None
    was: str | None = None
    broken: str = ""


def read_state(path: Path) -> State:
    """Read the state of a watch; one that is broken is as good as none, and says so.

    Args:
        path: its file.
    """
    was = None
    try:
        was = digest(path)
        if was is None:
            return State()
        if path.stat().st_size > MOST_BYTES:
            return State(was=was, broken="it is too long")
        tree = json.loads(path.read_text(encoding="utf-8"))
        out = tree["outgoing"]
        outgoing = None if out is None else Outgoing(
            str(out["id"]), str(out["at"]), str(out["subject"]), str(out["text"]),
            tuple(map(str, out["waiting"])), tuple(map(str, out["sent"])), str(out["body"]),
        )  # fmt: skip
        told = {
            str(name): {key: row[key] for key in ("verdict", "out")} for name, row in tree["told"].items()
        }
        warned = tuple((str(id_), str(what)) for id_, what in tree["warned"])
        return State(told, warned, int(tree["better"]), outgoing, was)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        return State(was=was, broken=" ".join(str(error).split())[:80] or "it is no state of a watch")


def write_state(path: Path, state: State) -> State:
    """Write the state of a watch, whole or not at all, over the one it was made from.

    Args:
        path: its file.
        state: the state.

    Returns:
        The state as it is kept now.

    Raises:
        InputError: it cannot be written, or another watch has written it meanwhile.
    """
    out = state.outgoing
    tree = {
        "schema": SCHEMA, "told": state.told or {}, "warned": [list(row) for row in state.warned],
        "better": state.better,
        "outgoing": None if out is None else {
            "id": out.id, "at": out.at, "subject": out.subject, "text": out.text, "waiting": list(out.waiting),
            "sent": list(out.sent), "body": out.body,
        },
    }  # fmt: skip
    content = (json.dumps(tree, indent=1) + "\n").encode()
    try:
        compare_and_replace(path, content, was=state.was)
        return State(state.told, state.warned, state.better, out, digest(path))
    except OSError as error:
        where = "file"
        raise InputError.of(where, why_not(error), "a file that can be written", file=str(path)) from None


@contextlib.contextmanager
def one_at_a_time(kept: Path) -> Iterator[None]:
    """Hold what only one watch of a folder may do at a time.

    Args:
        kept: the folder it keeps things in.

    Raises:
        InputError: another watch has held it for minutes.
    """
    with contextlib.ExitStack() as held:
        try:
            held.enter_context(locked(kept / "watch", patience=PATIENCE_S))
        except OSError as error:
            where = "FOLDER"
            raise InputError.of(
                where, str(kept), f"a folder with no other watch at work ({why_not(error)})"
            ) from None
        yield
