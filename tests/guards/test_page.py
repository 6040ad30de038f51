"""The pages at the wall: their numbers are those of the commands, what is said there counts, and nobody else asks."""

from __future__ import annotations

import json
import re
import shutil

import pytest

pytest.importorskip("flask")
pytest.importorskip("segno")
pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

from bracing.reading.jobs import read_job
from bracing.site.desk import wall_id
from bracing.site.links import Role
from bracing.site.walking import round_of
from tests.cli.running import EXAMPLES, run, said
from tests.site_pages import pages_of, read, told

NAMES = ("short-wall-braced", "as-found", "slab-wall", "rake-wall")
ZONE = '[job]\nname = "Lot 14"\ntime_zone = "America/Chicago"\n'
NUMBERS = (
    "state", "limit_gust_mph", "limit_gust_with_people_mph", "clear_out_gust_mph", "clear_out_on_meter_mph",
    "limit_gust_one_missing_mph", "input_sha256", "wall",
)  # fmt: skip
BY = "lead framer"


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "job"
    made.mkdir()
    for name in NAMES:
        shutil.copy(EXAMPLES / f"{name}.toml", made)
    (made / "job.toml").write_text(ZONE, encoding="utf-8")
    return made


@pytest.fixture
def served(folder):
    with pages_of(folder) as found:
        yield found


@pytest.fixture
def short(folder):
    """A wall of three braces: its file, and its id."""
    file = folder / "short-wall-braced.toml"
    return file, wall_id(file)


def narrow(monkeypatch):
    monkeypatch.setenv("COLUMNS", "44")


def limit(capsys, file):
    return run(capsys, "check", file, "--json").json["limit_gust_mph"]


def answer_all(visitor, desk, file, **first):
    """Answer every step that is open, each as planned but for what is said of some."""
    id_ = wall_id(file)
    for _ in range(60):
        left = round_of(file, desk.log).left
        if not left:
            return
        fields = first.get(left[0].slug, {"do": "planned"})
        assert visitor.answer(id_, left[0].slug, **fields).status_code == 303
    pytest.fail("no end of it")


# -- the numbers -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_a_page_has_the_numbers_of_check(capsys, folder, served, name):
    _, _, visitor = served
    one, file = visitor(), folder / f"{name}.toml"
    expected = run(capsys, "check", file, "--json").json
    assert json.loads(one.get(f"/w/{wall_id(file)}.json").data) == expected
    rows = {row["id"]: row for row in json.loads(one.get("/index.json").data)["walls"]}
    assert {key: rows[wall_id(file)][key] for key in NUMBERS} == {key: expected[key] for key in NUMBERS}
    one.get(f"/w/{wall_id(file)}")
    words, _ = read(one.text)
    text = said(run(capsys, "check", file).out)
    out = "CLEAR OUT now" if not expected["clear_out_gust_mph"] else (
        f"CLEAR OUT before a forecast gust of {expected['clear_out_gust_mph']} mph "
        f"({expected['clear_out_on_meter_mph']} mph on a meter"
    )  # fmt: skip
    assert out in words
    assert out in text
    assert f"Limit gust: {expected['limit_gust_mph']} mph" in words
    assert expected["state"] in words
    listed = one.get("/index.txt").get_data(as_text=True)
    assert f"Limit gust: {expected['limit_gust_mph']} mph" in listed


def test_walls_without_braces_are_at_the_very_top_then_what_cannot_be_read_then_the_worst(folder, served):
    _, _, visitor = served
    (folder / "broken.toml").write_text("[wall]\nlength = 3\n", encoding="utf-8")
    one = visitor()
    one.get("/")
    ids = re.findall(r'href="/w/([^"]+)"', one.text)
    rows = json.loads(one.get("/index.json").data)["walls"]
    bare = {row["id"] for row in rows if "NO BRACES" in row["state"]}
    assert bare == {wall_id(folder / "slab-wall.toml"), wall_id(folder / "rake-wall.toml")}
    assert set(ids[: len(bare)]) == bare
    assert ids[len(bare)] == wall_id(folder / "broken.toml")
    limits = {row["id"]: row["limit_gust_mph"] for row in rows}
    rest = [limits[id_] for id_ in ids[len(bare) + 1 :]]
    assert rest == sorted(rest)
    assert len(rest) == 2


def test_what_is_kept_clear_is_that_of_the_command(capsys, folder, served, short):
    """The storey below too, where somebody said that there is one."""
    file, id_ = short
    text, here = file.read_text(encoding="utf-8"), served[2]()
    for high, below in (("3 ft", False), ("9 ft", True)):
        floor = re.sub(r'height_above_ground = "[^"]*"', f'height_above_ground = "{high}"', text)
        file.write_text(floor, encoding="utf-8")
        here.get(f"/w/{id_}")
        clear = re.search(r"Keep clear: [^.]*\.", said(run(capsys, "check", file).out))[0]
        assert clear in read(here.text)[0]
        assert ("the storey below" in clear) == below


@pytest.mark.parametrize("gust", ["", "10"])
def test_the_lift_is_that_of_the_command(capsys, monkeypatch, served, short, gust):
    _, _, visitor = served
    one = visitor(Role.LOOK)
    assert one.get(f"/w/{short[1]}/lift?gust={gust}&people=4").status_code == 200
    narrow(monkeypatch)
    words = ("--gust", gust) if gust else ()
    ran = run(capsys, "lift", short[0], *words, "--people", "4", "--all", "--cautions")
    assert told(one.text) == said(ran.out)


def test_taking_down_is_that_of_the_command(capsys, monkeypatch, folder, served):
    _, _, visitor = served
    file = folder / "as-found.toml"
    one = visitor(Role.LOOK)
    query = "gust=20&done=left+return+tied&out=B1"
    assert one.get(f"/w/{wall_id(file)}/take-down?{query}").status_code == 200
    narrow(monkeypatch)
    asked = ("--gust", "20", "--done", "left return tied", "--take-out", "B1", "--cautions")
    assert told(one.text) == said(run(capsys, "stages", file, *asked).out)
    one.get(f"/w/{wall_id(file)}/take-down?gust=20")
    every = run(capsys, "stages", file, "--gust", "20", "--json").json["take_down"]["events"]
    for event in every:
        assert f"[ ] {event['event']}:" in told(one.text)


def test_tonight_is_that_of_the_command_with_people_hours_and_stock(capsys, monkeypatch, folder, served):
    _, _, visitor = served
    one = visitor(Role.WALK)
    crew = {"people": "4", "hours": "3", "on_hand": "400 structural screw 0.22x5, 20 2x6x16"}
    sent = one.send("/storm", gust="38", until="tomorrow 6 pm", **crew)
    assert sent.status_code == 303
    assert one.get(sent.headers["Location"]).status_code == 200
    narrow(monkeypatch)
    words = [word for name, value in crew.items() for word in (f"--{name.replace('_', '-')}", value)]
    ran = run(
        capsys, "storm", folder, "--gust", "38", "--until", "tomorrow 6 pm", "--zone", "America/Chicago", "--all",
        "--cautions", *words,
    )  # fmt: skip
    assert ran.out, ran.err
    assert _timeless(told(one.text)) == _timeless(said(ran.out))
    assert "mph" in told(one.text)


def _timeless(text):
    """Without the minutes of the clock, which goes on between the two."""
    return re.sub(r"[A-Z][a-z]{2} [A-Z][a-z]{2} \d+, \d+(:\d\d)? [ap]m", "T", text)


def test_what_is_pasted_is_read_back_for_a_yes_and_bare_wind_is_refused(served):
    _, _, visitor = served
    one = visitor(Role.WALK)
    assert (
        one.send(
            "/storm", pasted="Tonight: Cloudy, west wind 20 mph, with gusts as high as 45 mph."
        ).status_code
        == 200
    )
    assert "45 mph" in read(one.text)[0]
    assert 'value="yes"' in one.text
    assert one.post("/storm", one.form()).status_code == 303
    refused = one.send("/storm", pasted="wind 30 mph tonight")
    assert refused.status_code == 400
    assert "gust" in read(one.text)[0]
    assert one.send("/storm").status_code == 400
    assert one.send("/storm", gust="fast").status_code == 400
    assert "fast" in read(one.text)[0]


def test_the_sheet_is_that_of_the_command(capsys, folder, served, short, tmp_path):
    _, _, visitor = served
    shown = visitor(Role.LOOK).get(f"/w/{short[1]}/sheet?gust=30")
    assert run(capsys, "sheet", short[0], "--gust", "30", "-o", tmp_path / "s.html").status in (0, 1, 4)
    assert shown.get_data(as_text=True) == (tmp_path / "s.html").read_text(encoding="utf-8")
    assert "'unsafe" not in shown.headers["Content-Security-Policy"]
    bare = visitor(Role.LOOK)
    assert bare.get(f"/w/{wall_id(folder / 'slab-wall.toml')}/sheet").status_code == 200
    assert 'name="gust"' in bare.text


def test_a_tag_says_when_to_be_out_and_its_code_opens_the_wall(capsys, served, short):
    desk, _, visitor = served
    one = visitor(Role.WALK)
    one.get(f"/w/{short[1]}/tag")
    words, _ = read(one.text)
    out = run(capsys, "check", short[0], "--json").json["clear_out_gust_mph"]
    assert f"CLEAR OUT before a forecast gust of {out} mph" in words
    assert "DO NOT REMOVE" in words
    head = run(capsys, "log", desk.folder, "--json").json["head"]
    assert f"Log {head[:12]}" in words
    assert 'src="data:image/svg+xml' in one.text
    before = len(desk.links())
    made = one.post(f"/w/{short[1]}/tag", one.form())
    assert made.status_code == 200
    assert [link.role for link in list(desk.links().values())[before:]] == [Role.LOOK]
    look = visitor(Role.LOOK)
    look.get(f"/w/{short[1]}/tag")
    assert 'method="post"' not in look.text


def test_a_hand_edit_shows_at_once_and_a_wall_that_is_gone_is_gone(capsys, folder, served, short):
    _, _, visitor = served
    file, id_ = short
    one = visitor()
    one.get(f"/w/{id_}")
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("floor_fasteners = 6", "floor_fasteners = 2"), encoding="utf-8")
    expected = limit(capsys, file)
    one.get(f"/w/{id_}")
    assert f"Limit gust: {expected} mph" in read(one.text)[0]
    (folder / "slab-wall.toml").unlink()
    assert one.get(f"/w/{wall_id(folder / 'slab-wall.toml')}").status_code == 404
    assert wall_id(folder / "slab-wall.toml") not in one.get("/index.txt").get_data(as_text=True)


# -- a walk ------------------------------------------------------------------------------------------------


def test_bad_news_counts_at_once_and_good_news_at_the_finish(capsys, served, short):
    desk, _, visitor = served
    file, id_ = short
    one, before = visitor(Role.WALK), limit(capsys, file)
    kept = one.answer(id_, "B1", do="missing")
    assert (kept.status_code, kept.headers["Location"]) == (303, f"/w/{id_}/walk/B2?taken=kept")
    worse = limit(capsys, file)
    assert worse < before
    one.get(f"/w/{id_}")
    assert f"Limit gust: {worse} mph" in read(one.text)[0]
    assert "B1: missing (lead framer)" in read(one.text)[0]
    assert one.answer(id_, "B2", do="keep", head="8", cleat="4", floor="9").status_code == 303
    assert limit(capsys, file) == worse
    answer_all(one, desk, file)
    done = one.send(f"/w/{id_}/walk/finish", by=BY)
    assert (done.status_code, done.headers["Location"]) == (303, f"/w/{id_}")
    assert "AS BUILT" in read_job(file).state
    text = file.read_text(encoding="utf-8")
    assert "head_fasteners = 8" in text
    assert read_job(file).built.by == BY
    assert run(capsys, "log", desk.folder, "--verify").status == 0
    rows = run(capsys, "log", desk.folder, "--json").json["rows"]
    entries = [row for row in rows if row["kind"] == "entry" and row["body"]["mark"] == "B1"]
    assert entries[0]["link"] in {link.id for link in desk.links().values()}


def test_the_words_are_those_of_a_terminal(served, short):
    _, _, visitor = served
    one = visitor(Role.WALK)
    one.answer(
        short[1], "B1", do="keep", head="3", cleat="4", floor="6", split="floor", joist_missed="1", ties="0"
    )
    one.get(f"/w/{short[1]}/walk/B1")
    assert "lead framer: head 3, ties 0, joist missed, split floor" in read(one.text)[0]


def test_the_enter_key_says_nothing_nobody_meant(served, short):
    """A form has many fields and a key that sends it: that is never "as planned"."""
    desk, _, visitor = served
    one = visitor(Role.WALK)
    for do in ({}, {"do": "enter"}):
        assert one.answer(short[1], "B1", head="4", cleat="4", floor="6", ties="1", **do).status_code == 400
    assert not round_of(short[0], desk.log).step("B1").entries
    assert one.text.index('value="enter"') < one.text.index('value="planned"')
    assert one.answer(short[1], "B1", do="enter", head="3", cleat="4", floor="6", ties="1").status_code == 303
    assert round_of(short[0], desk.log).step("B1").entries[0].answer == "head 3"


def test_two_phones_on_one_wall_a_dispute_is_settled_by_who_looks_again(capsys, served, short):
    desk, _, visitor = served
    file, id_ = short
    one, two = visitor(Role.WALK), visitor(Role.WALK)
    one.get(f"/w/{id_}/walk/B1")
    first = {**one.form(), "by": BY, "do": "planned"}
    two.get(f"/w/{id_}/walk/B1")
    second = {**two.form(), "by": "second man", "do": "missing"}
    assert one.post(f"/w/{id_}/walk/B1", first).headers["Location"].endswith("taken=kept")
    before = limit(capsys, file)
    said_so = two.post(f"/w/{id_}/walk/B1", second)
    assert said_so.headers["Location"] == f"/w/{id_}/walk/B1?taken=disputed"
    assert limit(capsys, file) < before
    one.get(f"/w/{id_}")
    assert "Two people say two things of B1" in read(one.text)[0]
    answer_all(one, desk, file, B1={"do": "planned"})
    assert round_of(file, desk.log).step("B1").answered
    assert limit(capsys, file) == before


def test_an_answer_given_twice_counts_once_and_an_old_one_is_late(served, short):
    desk, _, visitor = served
    file, id_ = short
    one = visitor(Role.WALK)
    one.get(f"/w/{id_}/walk/B1")
    form = {**one.form(), "by": BY, "do": "missing"}
    old = {**form, "id": "ab" * 16, "do": "planned"}
    assert one.post(f"/w/{id_}/walk/B1", form).headers["Location"].endswith("taken=kept")
    assert one.post(f"/w/{id_}/walk/B1", form).headers["Location"].endswith("taken=repeated")
    assert (
        one.post(f"/w/{id_}/walk/B1", {**form, "do": "planned"}).headers["Location"].endswith("taken=refused")
    )
    assert len(round_of(file, desk.log).step("B1").entries) == 1
    file.write_text(file.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert one.post(f"/w/{id_}/walk/B1", old).headers["Location"].endswith("taken=late")


def test_a_walk_is_finished_only_as_it_was_shown(served, short):
    desk, _, visitor = served
    file, id_ = short
    one, two = visitor(Role.WALK), visitor(Role.WALK)
    before = file.read_bytes()
    early = one.get(f"/w/{id_}/walk/finish")
    assert early.status_code == 200
    assert 'method="post"' not in one.text
    answer_all(one, desk, file)
    one.get(f"/w/{id_}/walk/finish")
    form = {**one.form(), "by": BY}
    two.answer(id_, "B2", do="missing")
    assert one.post(f"/w/{id_}/walk/finish", form).status_code == 400
    assert "look again" in read(one.text)[0]
    assert one.send(f"/w/{id_}/walk/finish", by="").status_code == 400
    assert file.read_bytes() == before
    assert one.send(f"/w/{id_}/walk/finish", by=BY).status_code == 303
    assert file.read_bytes() != before


def test_a_queue_is_taken_in_entry_by_entry(capsys, served, short):
    desk, _, visitor = served
    file, id_ = short
    one = visitor(Role.WALK)
    one.get(f"/w/{id_}/walk/all")
    form = one.form()
    entry = {"wall": id_, "plan": form["plan"], "seen": "", "by": BY, "at": "1"}
    queue = [
        {**entry, "id": "1" * 32, "step": "B1", "do": "missing"},
        {**entry, "id": "2" * 32, "step": "B2", "do": "keep", "other": "purple"},
        {**entry, "id": "3" * 32, "step": "B9", "do": "missing"},
        {**entry, "id": "4" * 32, "step": "B3", "do": "missing", "wall": "../../etc"},
        {**entry, "id": "no", "step": "B3", "do": "missing"},
        "no entry",
    ]
    sent = one.client.post("/entries", json=queue, headers={"X-Form": form["form"]})
    rows = json.loads(sent.data)
    assert [row["taken"] for row in rows] == ["kept", *["refused"] * 5]
    assert all(row["why"] for row in rows[1:])
    assert rows[0]["told"] == "answered: missing"
    again = one.client.post("/entries", json=queue[:1], headers={"X-Form": form["form"]})
    assert json.loads(again.data)[0]["taken"] == "repeated"
    assert len(round_of(file, desk.log).step("B1").entries) == 1


@pytest.mark.parametrize(
    ("step", "fields"),
    [
        ("B1", {"do": "keep", "head": "-1"}),
        ("B1", {"do": "keep", "head": "900"}),
        ("B1", {"do": "keep", "other": "stud 99 ft"}),
        ("B1", {"do": "keep", "ties": "many"}),
        ("B1", {"do": "missing", "by": ""}),
        ("B1", {"do": "missing", "by": "x" * 200}),
        ("B1", {"do": "missing", "id": "no"}),
        ("B1", {"do": "missing", "plan": "no"}),
        ("B1", {"do": "missing", "seen": "no"}),
        ("another-1", {"do": "keep", "other": "a brace over there"}),
    ],
)
def test_what_is_no_answer_is_refused_in_a_line_and_nothing_is_kept(capsys, served, short, step, fields):
    desk, _, visitor = served
    one = visitor(Role.WALK)
    assert one.answer(short[1], step, **fields).status_code == 400
    words, _ = read(one.text)
    assert "Traceback" not in one.text
    assert "role" in words or "not" in words or "expected" in words or "answer" in words
    rows = run(capsys, "log", desk.folder, "--json").json["rows"]
    assert not [row for row in rows if row["kind"] == "entry"]


# -- who may ask what ----------------------------------------------------------------------------------------


def test_without_a_link_there_is_nothing(served, short):
    _, app, _ = served
    client = app.test_client()
    paths = (
        "/",
        f"/w/{short[1]}",
        f"/w/{short[1]}.json",
        "/log",
        "/storm",
        "/index.json",
        "/entries",
        "/nope",
        "/k/no",
    )
    assert {client.get(path).status_code for path in paths} == {403}
    assert client.get("/health").status_code == 200


def test_each_link_does_what_it_is_for_and_ends(served, short):
    from bracing.site.links import revoke
    from bracing.storm.forecast import utc_now

    desk, _, visitor = served
    look, walk, office = (visitor(role) for role in Role)
    id_ = short[1]
    for path, asked in (
        (f"/w/{id_}", (200, 200, 200)), (f"/w/{id_}/walk", (403, 200, 200)), ("/storm", (403, 200, 200)),
        ("/log", (403, 403, 200)), ("/log.json", (403, 403, 200)),
    ):  # fmt: skip
        assert tuple(one.get(path).status_code for one in (look, walk, office)) == asked
    kept = next(link for link in desk.links().values() if link.role is Role.OFFICE)
    revoke(desk.log, kept.id, utc_now())
    assert office.get("/").status_code == 403
    raw = desk.log.read_bytes() + b"".join(path.read_bytes() for path in desk.log.parent.glob("*wal"))
    cookie = walk.client.get_cookie("bracing").value
    assert cookie.encode() not in raw


def test_only_our_own_forms_are_taken(served, short):
    _, _, visitor = served
    one, two = visitor(Role.WALK), visitor(Role.WALK)
    path = f"/w/{short[1]}/walk/B1"
    two.get(path)
    other = two.form()["form"]
    one.get(path)
    form = {**one.form(), "by": BY, "do": "missing"}
    for fields, headers in (
        ({**form, "form": ""}, {}), ({**form, "form": other}, {}), (form, {"Origin": "https://elsewhere.example"}),
        (form, {"Origin": "null"}), (form, {"Sec-Fetch-Site": "cross-site"}), (form, {"Sec-Fetch-Site": "same-site"}),
    ):  # fmt: skip
        assert one.post(path, fields, headers).status_code == 403
    assert one.client.post("/entries", json=[], headers={}).status_code == 403
    assert (
        one.post(path, form, {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"}).status_code
        == 303
    )


def test_other_names_of_the_host_too_many_fields_and_too_much_are_refused(served, short):
    _, _, visitor = served
    one = visitor(Role.WALK)
    assert one.get("/", headers={"Host": "elsewhere.example"}).status_code == 400
    one.get("/storm")
    form = one.form()
    assert one.post("/storm", {**form, **{f"f{k}": "x" for k in range(300)}}).status_code == 413
    assert one.post("/storm", {**form, "pasted": "x" * 1_100_000}).status_code == 413


def test_posts_and_wrong_links_are_counted(served):
    _, app, visitor = served
    one = visitor(Role.WALK)
    one.get("/storm")
    form = one.form()
    statuses = [one.post("/storm", form).status_code for _ in range(125)]
    assert statuses[0] == 400
    assert statuses[-1] == 429
    client = app.test_client()
    wrong = [client.get(f"/k/wrong{k}").status_code for k in range(14)]
    assert wrong[0] == 403
    assert wrong[-1] == 429


def test_every_answer_says_what_a_browser_may_do_with_it(served, short):
    _, _, visitor = served
    one = visitor()
    assert one.came.headers["Referrer-Policy"] == "no-referrer"
    cookie = one.came.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    for path in ("/", f"/w/{short[1]}", "/nope", "/log", f"/w/{short[1]}/walk/B1"):
        headers = one.get(path).headers
        assert headers["Content-Security-Policy"].startswith("default-src 'none'")
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["Cache-Control"] == "no-store"
        assert " style=" not in one.text
        assert "<script>" not in one.text


def test_no_path_comes_from_outside(served):
    _, _, visitor = served
    one = visitor()
    for path in (
        "/w/../../etc/passwd", "/w/%2e%2e%2fjob", "/w/short-wall-braced", "/w/short-wall-braced.toml", "/w/job-000000",
        "/w/..%5c..%5cx/sheet", "/page.css/../web.py", "/w/x/picture/0.svg", "/storm/../log/x",
    ):  # fmt: skip
        assert one.get(path).status_code in (302, 303, 308, 403, 404)
    assert one.client.get("/k/x?to=//evil.example").headers.get("Location") is None


def test_a_link_goes_to_a_wall_of_this_job_and_nowhere_else(served, short):
    from bracing.site.links import new_link
    from bracing.storm.forecast import utc_now

    desk, app, _ = served
    _, token = new_link(desk.log, Role.LOOK, utc_now(), days=1)
    for to, there in (
        (short[1], f"/w/{short[1]}"),
        ("//evil.example", "/"),
        ("https://evil.example", "/"),
        ("", "/"),
    ):
        came = app.test_client().get(f"/k/{token}", query_string={"to": to})
        assert (came.status_code, came.headers["Location"]) == (303, there)


# -- hostile words -------------------------------------------------------------------------------------------

PARTS = (
    "<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "'><svg onload=alert(1)>", "javascript:alert(1)",
    "{{ 7*7 }}", "{% raw %}", "${7*7}", "\u202egnp.exe", "\u200b\u2066x", "a\x00b", "\x1b[31m", "\r\nSet-Cookie: a=b",
    "%0d%0aX: y", "../../etc/passwd", "..\\..\\x", "' OR 1=1 --", '"; DROP TABLE log; --', "=cmd|' /C calc'!A0",
    "</textarea><script>", "</title><script>", "<!--", "]]>", "&lt;b&gt;", "&#x3c;script&#x3e;", "\ud7ff\ufffd",
)  # fmt: skip
HOSTILE = tuple(f"{a}{b}" for a in PARTS for b in ("", " head 3", *(p for p in PARTS[:6])))


def test_two_hundred_hostile_words_are_words_wherever_they_are_typed(served, short):
    """What is typed comes back as text: a page of it has the very tags of a page of plain words."""
    _, _, visitor = served
    id_ = short[1]
    assert len(HOSTILE) == 200
    one = visitor()
    path = f"/w/{id_}/walk/B1"
    one.get(path)
    form = one.form()
    plain = one.post(path, {**form, "by": BY, "do": "keep", "other": "purple"})
    assert plain.status_code == 400
    tags = sorted(set(read(one.text)[1]))
    for k, words in enumerate(HOSTILE):
        _forget(one)
        sent = one.post(path, {**form, "by": BY, "do": "keep", "other": words, "id": f"{k:032x}"})
        assert sent.status_code in (303, 400), words
        if sent.status_code == 400:
            assert sorted(set(read(one.text)[1])) == tags, words
        for path_ in (f"/w/{id_}/lift", f"/w/{id_}/take-down"):
            shown = one.get(path_, query_string={"gust": words, "people": words, "out": words})
            assert shown.status_code in (200, 400), words
            _inert(one.text)


def _forget(one):
    """Let the minute go by in which posts are counted."""
    one.client.application.extensions["bracing-posts"]._times.clear()


def _inert(text):
    _, tags = read(text)
    assert not [tag for tag in tags if tag[0] in ("svg", "iframe", "object", "embed")]
    assert all(not name.startswith("on") for _, names in tags for name in names)
    assert sum(tag == "script" for tag, _ in tags) == 1


def test_hostile_names_of_walls_marks_and_roles_are_words(folder, served):
    _, _, visitor = served
    text = (folder / "short-wall-braced.toml").read_text(encoding="utf-8")
    name = '<script>alert(1)</script>"><img src=x onerror=alert(1)>'
    written = json.dumps(name)
    text = re.sub(r'^name = ".*"$', lambda _: f"name = {written}", text, count=1, flags=re.MULTILINE)
    text = text.replace('mark = "B1"', "mark = " + json.dumps("<b>finish</b>/.."))
    assert written in text
    (folder / "<img src=x>.toml").write_text(text, encoding="utf-8")
    one = visitor()
    id_ = wall_id(folder / "<img src=x>.toml")
    for path in ("/", f"/w/{id_}", f"/w/{id_}/walk", f"/w/{id_}/walk/all", f"/w/{id_}/walk/brace-1", f"/w/{id_}/tag",
                 f"/w/{id_}/lift", f"/w/{id_}/take-down", f"/w/{id_}/walk/finish", "/log"):  # fmt: skip
        assert one.get(path).status_code == 200, path
        _inert(one.text)
    assert one.answer(id_, "brace-1", by="<i>x</i>", do="missing").status_code == 303
    for path in (f"/w/{id_}", f"/w/{id_}/walk/brace-1", f"/w/{id_}/walk/finish", "/log"):
        assert one.get(path).status_code == 200
        _inert(one.text)
        assert "<i>" not in one.text


# -- the command -----------------------------------------------------------------------------------------------


def test_a_link_is_made_shown_once_and_taken_back_from_the_command(capsys, folder):
    made = run(
        capsys, "serve", folder, "--new-link", "walk", "--public", "https://walls.example.invalid", "--json"
    )
    assert made.status == 0
    assert made.json["role"] == "walk"
    assert made.json["link"].startswith("https://walls.example.invalid/k/")
    rows = run(capsys, "log", folder, "--json")
    assert made.json["link"].rpartition("/")[2] not in rows.out
    gone = run(capsys, "serve", folder, "--revoke", made.json["id"], "--json")
    assert (gone.status, gone.json["revoked"], gone.json["link"]) == (0, True, None)


@pytest.mark.parametrize(
    "words",
    [
        ("--host", "0.0.0.0"), ("--public", "walls.example"), ("--public", "https://a.example/path"),
        ("--proxy", "name"),
        ("--new-link", "king"), ("--new-link", "walk", "--days", "0"), ("--revoke", "none"), ("--json",),
        ("--new-link", "walk", "--revoke", "x"), ("--port", "70000"),
    ],
)  # fmt: skip
def test_what_cannot_be_served_is_refused_in_a_line(capsys, folder, words):
    ran = run(capsys, "serve", folder, *words)
    assert ran.status == 2
    assert ran.out == "" or "--json" in words
    assert "expected" in ran.err.splitlines()[0] or "70000" in ran.err
    assert "Traceback" not in ran.err


def test_a_folder_that_is_none_is_refused(capsys, tmp_path):
    assert run(capsys, "serve", tmp_path / "none").status == 2
    (tmp_path / "empty").mkdir()
    assert run(capsys, "serve", tmp_path / "empty").status == 2
