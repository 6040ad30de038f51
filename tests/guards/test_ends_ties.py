"""The ends of the chain as the screens tell them: foam under a panel, ties, a head cut plumb, one brace gone."""

from __future__ import annotations

import json

import pytest

from tests.cli.running import EXAMPLES, run, said

SHORT = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
DRY = SHORT.replace('moisture = "green"', 'moisture = "dry"')
LAID = 'layers = ["osb 7/16", "housewrap"]'


@pytest.fixture
def write(tmp_path):
    def written(text):
        path = tmp_path / "wall.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return written


def layered(text, *layers):
    assert LAID in text
    return text.replace(LAID, f"layers = {list(layers)}".replace("'", '"'))


def links(capsys, path, *words):
    return run(capsys, "check", path, "--gust", "30", "--links", "--json", *words).json["links"]


def of(found, link, **at):
    return [
        one for one in found if one["link"] == link and all(one[key] == value for key, value in at.items())
    ]


# Foam under the panel.


@pytest.mark.parametrize(
    ("foam", "each"), [(None, 108.0), ("foam 1/2", 57.6), ("foam 1", 37.3), ("foam 1.5", 0.0)]
)
def test_a_sheathing_nail_reaches_across_foam(capsys, write, foam, each):
    """Heads 6 ft up, a nail every 6 in: 12 of them, each as worked out on the page in tests/hand."""
    path = write(layered(DRY, *([foam] if foam else []), "osb 7/16", "housewrap"))
    found = of(links(capsys, path), "stud to sheathing", direction="push", mark="B1")
    assert found[0]["capacity"] == pytest.approx(12 * each, rel=2e-3)


def test_paper_windows_and_what_is_outside_leave_the_panel_on_the_studs(capsys, write):
    plain, wrapped = (
        links(capsys, write(layered(DRY, *layers)))
        for layers in (("osb 7/16",), ("housewrap", "windows", "osb 7/16", "foam 1"))
    )
    for name in ("stud to sheathing", "sheathing to plate"):
        assert of(plain, name)[0]["capacity"] == of(wrapped, name)[0]["capacity"]


def test_foam_takes_its_thickness_off_every_use_of_a_sheathing_nail(capsys, write):
    """Sheathing foot, studs, the pull off the studs, `fasteners` and `lift` all take the same nail."""
    bare, foamed = (
        write(layered(DRY, *layers)).read_text() for layers in (("osb 7/16",), ("foam 1", "osb 7/16"))
    )
    before, after = (links(capsys, write(text)) for text in (bare, foamed))
    for name in ("stud to sheathing", "sheathing to plate"):
        part = of(after, name)[0]["capacity"] / of(before, name)[0]["capacity"]
        assert part == pytest.approx(37.3 / 108.0, rel=2e-3), name
    off = [of(found, "sheathing off the studs")[0]["capacity"] for found in (before, after)]
    assert off[1] < off[0]
    values = []
    for text in (bare, foamed):
        joints = run(capsys, "fasteners", write(text), "--gust", "30", "--json").json["joints"]
        joint = next(one for one in joints if one["joint"] == "sheathing to plate")
        values += [
            one["lateral_lb"]
            for one in joint["choices"]
            if (one["fastener"], one["moisture"]) == ("8d common", "dry")
        ]
    assert values[1] / values[0] == pytest.approx(37.3 / 108.0, rel=2e-3)


def test_foam_under_the_panel_is_said_and_its_sum_printed(capsys, write):
    path = write(layered(DRY, "foam 1", "osb 7/16"))
    for name in ("stud to sheathing", "sheathing to plate", "sheathing off the studs"):
        assert of(links(capsys, path), name)[0]["why"].endswith("across 1.00 in of foam 1 under the panel")
    sums = said(run(capsys, "trace", path, "--gust", "30").out)
    assert "across 1.00 in of foam 1 under the panel" in sums
    assert "Value of a yield mode across a gap" in sums
    assert "gap under the osb" in sums


# One brace gone.


def test_one_brace_gone_is_told_at_rest_and_lost_in_the_gust(capsys, write):
    """`check`, its list, `stages` and `storm` tell both, and never a lost brace above one gone at rest."""
    path = write(SHORT)
    told = run(capsys, "check", path, "--gust", "30", "--json").json
    rest, lost = told["one_missing_mph"], told["one_lost_mph"]
    assert list(rest) == list(lost) == ["B1", "B2", "B3"]
    assert all(0 < lost[mark] < rest[mark] for mark in rest)
    assert told["limit_gust_one_lost_mph"] == min(lost.values()) < told["limit_gust_one_missing_mph"]
    mark = min(lost, key=lost.get)
    page = said(run(capsys, "check", path, "--gust", "30", "--one-missing").out)
    assert (
        f"{min(rest.values())} mph ({mark} gone) at rest, {lost[mark]} mph lost in the gust ({mark})." in page
    )
    assert all(f"{mark} {rest[mark]} mph {lost[mark]} mph" in page for mark in rest)
    assert f"{lost[mark]} mph lost in the gust" in said(run(capsys, "trace", path, "--gust", "30").out)
    stages = run(capsys, "stages", path, "--gust", "20", "--json").json
    assert (stages["one_missing_mph"], stages["one_lost_mph"]) == (rest, lost)
    assert f"B1 {rest['B1']} mph, {lost['B1']} mph; B2" in said(
        run(capsys, "stages", path, "--gust", "20").out
    )
    storm = run(capsys, "storm", path, "--gust", "45", "--from", "Fri 8 pm", "--json", "--budget", "1").json
    assert storm["limit_gust_one_lost_mph"] == min(lost.values())


def test_the_page_for_the_crew_tells_a_brace_lost_in_the_gust(capsys, write, tmp_path):
    path, page = write(SHORT), tmp_path / "sheet.html"
    lost = run(capsys, "check", path, "--gust", "30", "--json").json["limit_gust_one_lost_mph"]
    assert run(capsys, "sheet", path, "--gust", "30", "-o", page).status == 0
    text = page.read_text(encoding="utf-8")
    assert f"<strong>{lost} mph</strong> lost in the gust" in text


# A head cut plumb.

PLUMB = SHORT.replace('joint = "lapped"', 'joint = "plumb", side_cleat = true')


def test_a_head_cut_plumb_brings_its_couple_into_the_stud(capsys, write):
    """6 ft on 8 ft, studs 5 1/2 in deep: each pound level brings 0.75 x 2.75 = 2.0625 lb in; lapped it brings none."""
    for text, arm in ((SHORT, 0.0), (PLUMB, 2.0625)):
        for case in run(capsys, "check", write(text), "--gust", "30", "--json").json["loads"]["cases"]:
            level, couple = case["brace_horizontal_lb"], case["head_couple_lbft"]
            assert couple == pytest.approx(
                {mark: force * arm / 12.0 for mark, force in level.items()}, rel=1e-9
            )
            about = sum(force * 6.0 + couple[mark] for mark, force in level.items())
            assert about == pytest.approx(case["moment_about_plate_lbft"], rel=1e-6)


def test_the_couple_of_a_head_cut_plumb_is_printed_with_its_sum(capsys, write):
    path = write(PLUMB)
    told = run(capsys, "trace", path, "--gust", "30", "--json").json["head_couple"]
    page = said(run(capsys, "trace", path, "--gust", "30").out)
    assert "Couple a head cut plumb brings into its stud" in page
    assert told[-1]["sum"].endswith("× tan(36.8699°) × 5.5 / 2")
    assert run(capsys, "trace", write(SHORT), "--gust", "30", "--json").json["head_couple"] == []


def test_the_exported_model_says_the_arm_of_each_brace(capsys, write, tmp_path):
    out = tmp_path / "model.json"
    run(capsys, "check", write(PLUMB), "--gust", "30", "--model", out)
    assert [spring["arm_in"] for spring in json.loads(out.read_text())["springs"]] == pytest.approx(
        [2.0625] * 3, rel=1e-9
    )


# Tie rows: nothing of them is free of charge.

TIED = SHORT.replace(
    "head = { joint",
    'tie = { fastener = "16d common", at_each_brace = 2, diagonal_fasteners = 3 }\nhead = { joint',
)
TIE_LINKS = ("tie at brace", "tie row", "diagonal", "diagonal nails")


def test_a_tie_carries_a_fiftieth_of_its_brace_and_the_row_sums_them_to_the_diagonal(capsys, write):
    """N/50 at each brace (EN 1995-1-1 9.2.5.2); a diagonal of 3/4 of a brace from its middle has cos 0.7454."""
    told = run(capsys, "check", write(TIED), "--gust", "40", "--links", "--json").json
    braces = {brace["mark"]: brace for brace in told["braces"]}
    for one in of(told["links"], "tie at brace", direction="push"):
        assert one["demand"] == pytest.approx(braces[one["mark"]]["push_lb"] / 50.0, rel=1e-6)
    row, diagonal, nails = (of(told["links"], name, direction="push")[0] for name in TIE_LINKS[1:])
    along = 10.0 / 8.0  # a brace of 6 ft on 8 ft is 10 ft long
    together = max(
        sum(max(force, 0.0) for force in case["brace_horizontal_lb"].values())
        for case in told["loads"]["cases"]
        if case["direction"] == "push"
    )
    # the list of cases has each state of the whole wall; the row is summed where each brace is stiffest in turn
    assert together * along / 50.0 <= row["demand"] * (1.0 + 1e-9)
    assert row["demand"] <= sum(brace["push_lb"] for brace in told["braces"]) / 50.0 * (1.0 + 1e-9)
    assert diagonal["demand"] == nails["demand"] == pytest.approx(row["demand"] / 0.745356, rel=1e-5)
    assert all("EN 1995-1-1" in one["source"] for one in (row, diagonal, nails))


def test_what_holds_a_tie_is_declared_or_one_small_nail(capsys, write):
    told, low = (
        run(capsys, "check", write(text), "--gust", "40", "--links", "--json").json for text in (TIED, SHORT)
    )
    for name, count in (("tie at brace", 2), ("diagonal nails", 3)):
        more, one = (of(found["links"], name)[0] for found in (told, low))
        assert more["why"].startswith(f"{count} x 16d common, ")
        assert one["why"].startswith("1 x gun nail 0.131x3, ")
        assert more["capacity"] > count * one["capacity"]
    assumed = {item["field"] for item in low["assumed"]}
    assert {"kit.tie.fastener", "kit.tie.at_each_brace", "kit.tie.diagonal_fasteners"} <= assumed
    assert not any(item["field"].startswith("kit.tie") for item in told["assumed"])


def test_a_wall_without_ties_has_no_such_link_and_assumes_nothing_of_them(capsys, write):
    told = run(
        capsys, "check", write(SHORT.replace("ties = 1", "ties = 0")), "--gust", "40", "--links", "--json"
    ).json
    assert not any(of(told["links"], name) for name in TIE_LINKS)
    assert not any(item["field"].startswith("kit.tie") for item in told["assumed"])


def test_ties_count_from_the_brace_they_come_on_after(capsys, write):
    """Untied until row and diagonals stand: the hook stays until then; from there on every stage is tied."""
    early = TIED.replace("diagonal_fasteners = 3", 'diagonal_fasteners = 3, after = "B2"')
    last, second = (
        run(capsys, "stages", write(text), "--gust", "20", "--json").json for text in (TIED, early)
    )
    assert [(stage["after"], stage["tie_rows"]) for stage in last["stages"]] == [
        ("B1", 0), ("B2", 0), ("B3", 0), ("B3", 1)
    ]  # fmt: skip
    assert [(stage["after"], stage["tie_rows"]) for stage in second["stages"]] == [
        ("B1", 0), ("B2", 0), ("B2", 1), ("B3", 1)
    ]  # fmt: skip
    assert last["stages"][-1]["limit_gust_mph"] == second["stages"][-1]["limit_gust_mph"]
    assert second["stages"][2]["limit_gust_mph"] > second["stages"][1]["limit_gust_mph"]
    assert (last["hook_stays_until"], second["hook_stays_until"]) == ("B3", "B2")
    page = said(run(capsys, "stages", write(early), "--gust", "20").out)
    assert "from when all of them are on, after B2" in page
    gone = run(capsys, "stages", write(early.replace('after = "B2"', 'after = "B9"')), "--gust", "20")
    assert (
        gone.status,
        "kit.tie.after: got B9; expected the mark of a brace: B1, B2, B3" in said(gone.err),
    ) == (2, True)


def test_parts_lists_count_the_fasteners_of_tie_rows(capsys, write):
    """Seven braces, one row: 2 at each and 3 at each end of two diagonals are 26 of what `[kit.tie]` names."""
    bare = (EXAMPLES / "long-wall.toml").read_text(encoding="utf-8")
    kit = 'tie = { fastener = "10d common", at_each_brace = 2, diagonal_fasteners = 3 }\nhead = { joint'
    path = write(bare.replace("head = { joint", kit))
    answer = run(capsys, "layout", path, "--gust", "40", "--budget", "1", "--json").json
    assert [brace["ties"] for brace in answer["braces"]] == [1] * 7
    page = said(run(capsys, "layout", path, "--gust", "40", "--budget", "1", "--all").out)
    assert "30 10d common nails" in page  # in fives, and a tenth spare
    chosen = said(run(capsys, "layout", write(bare), "--gust", "40", "--budget", "1", "--all").out)
    assert "tie rows 16d common, 2 at every brace, 3 at each end of a diagonal" in chosen
