"""A server that is killed: what a phone was told is kept is in the log, whole, and no process stays behind."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import random
import re
import secrets
import shutil
import signal
import subprocess
import sys
import threading
import time

import pytest

pytest.importorskip("flask")
pytest.importorskip("waitress")
pytest.importorskip("segno")
pytest.importorskip("jinja2")

from bracing.reading.log import ENTRY, KEPT, LOG, chain_faults, read_rows
from bracing.site.desk import wall_id
from bracing.site.links import Role, new_link
from bracing.site.walking import round_of
from bracing.site.walks import noted
from bracing.storm.forecast import utc_now
from tests.cli.running import EXAMPLES

NAME = "short-wall-braced.toml"
GONE_S = 30.0
TAKEN = ("kept", "repeated", "disputed", "late")
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="kill -9")


@pytest.fixture
def folder(tmp_path):
    shutil.copy(EXAMPLES / NAME, tmp_path)
    (tmp_path / "job.toml").write_text(
        '[job]\nname = "Lot 14"\ntime_zone = "America/Chicago"\n', encoding="utf-8"
    )
    return tmp_path


@contextlib.contextmanager
def serving(folder):
    """A server of its own session, and its port."""
    words = (sys.executable, "-m", "bracing", "serve", str(folder), "--port", "0")
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, start_new_session=True) as running:
        try:
            found = None
            while found is None:
                line = running.stdout.readline()
                assert line, running.wait()
                found = re.search(r"http://127\.0\.0\.1:(\d+)", line)
            yield running, int(found[1])
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(running.pid, signal.SIGKILL)


class Phone:
    """A phone that sends answers until nobody is there, and keeps the ids that were taken."""

    def __init__(self, port, token, plan, slugs):
        self.there = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        self.cookie = {"Cookie": self.ask("GET", f"/k/{token}").headers["Set-Cookie"].partition(";")[0]}
        self.wall, self.plan, self.slugs, self.taken = wall_id(EXAMPLES / NAME), plan, slugs, []
        shown = self.ask("GET", f"/w/{self.wall}/walk/B1", headers=self.cookie).text
        self.form = re.search(r'data-form="([^"]+)"', shown)[1]

    def ask(self, method, path, **more):
        self.there.request(method, path, **more)
        answer = self.there.getresponse()
        answer.text = answer.read().decode("utf-8")
        return answer

    def send(self):
        with contextlib.suppress(OSError, http.client.HTTPException, ValueError):
            for k in range(100):
                one = {
                    "id": secrets.token_hex(16), "wall": self.wall, "step": self.slugs[k % len(self.slugs)],
                    "plan": self.plan, "seen": "", "by": "lead framer", "do": "missing", "at": "0",
                }  # fmt: skip
                headers = {**self.cookie, "X-Form": self.form, "Content-Type": "application/json"}
                answer = self.ask("POST", "/entries", body=json.dumps([one]), headers=headers)
                if answer.status != 200:
                    return
                self.taken += [each["id"] for each in json.loads(answer.text) if each["taken"] in TAKEN]


def kill_and_look(folder, token, after):
    """Kill a server some time after a phone began to send; how many answers were taken, none of them lost."""
    log = folder / KEPT / LOG
    here = round_of(folder / NAME, log)
    with serving(folder) as (running, port):
        phone = Phone(port, token, here.plan, [step.slug for step in here.steps if step.brace])
        sending = threading.Thread(target=phone.send)
        sending.start()
        time.sleep(after)
        os.kill(running.pid, signal.SIGKILL)
        running.wait()
        sending.join()
        phone.there.close()
    rows = read_rows(log)
    assert chain_faults(rows, log, heads=()) == ()
    kept = {row.body["id"] for row in rows if row.kind == ENTRY}
    assert set(phone.taken) <= kept
    return len(phone.taken)


def begin(folder):
    shutil.rmtree(folder / KEPT, ignore_errors=True)
    log = noted(folder, (folder / NAME,), utc_now())
    return new_link(log, Role.OFFICE, utc_now(), days=30)[1]


def test_a_kill_loses_no_answer_that_was_taken(folder):
    token = begin(folder)
    assert kill_and_look(folder, token, 0.5) > 0
    kill_and_look(folder, token, 0.1)  # and the log goes on from there


@pytest.mark.proof
def test_two_hundred_kills_lose_no_answer_that_was_taken(folder):
    chance, taken = random.Random(11), []
    for k in range(200):
        token = begin(folder) if k % 10 == 0 else token  # noqa: F821  (k begins at 0)
        taken.append(kill_and_look(folder, token, chance.uniform(0.0, 0.5)))
    assert len(set(taken)) >= 5  # killed at many a place


@pytest.mark.skipif(not os.path.isdir("/proc"), reason="no list of processes")
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGKILL])
def test_no_process_stays_behind_a_server(folder, how):
    """However it ends: what works the numbers out has begun by then."""
    token = begin(folder)
    with serving(folder) as (running, port):
        phone = Phone(port, token, "", [])
        phone.ask("GET", "/", headers=phone.cookie)
        phone.there.close()
        running.send_signal(how)
        running.wait(GONE_S)
        until = time.monotonic() + GONE_S
        while (left := _of_session(running.pid)) and time.monotonic() < until:
            time.sleep(0.1)
        assert left == []


def _of_session(session):
    found = []
    for name in filter(str.isdigit, os.listdir("/proc")):
        with contextlib.suppress(OSError, ValueError):
            if os.getsid(int(name)) == session and int(name) != session:
                found.append(int(name))
    return found
