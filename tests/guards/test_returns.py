"""A return wall holds as much as its sheathing, corner and foot do: never more, and what it costs is said."""

import json

import numpy as np
import pytest

from tests.cli.running import EXAMPLES, WITHIN, run, said

WALL = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
BARE, BRACES = WALL[: WALL.index("[[brace]]")], WALL[WALL.index("[[brace]]") :]
CORNER = 'corner = { fastener = "16d common", count = 12, joint = "shear" }\n'
ONE_STRAP = 'strap_corner_lb = 2000\nstrap_source = "report 1"\n'
DONE = "plated = true\nnailed = true\nsheathed = true\nfastened_down = true\n"
STRAPS = 'strap_corner_lb = 2000\nstrap_far_lb = 2000\nstrap_source = "report 1"\n'

EAST = (
    '[wall]\nname = "East"\nlength = "8 ft"\nheight = "9 ft"\nlayers = ["osb 7/16"]\nleft_end = "return"\n'
    'studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }\n'
    '[wall.left_return]\nwall = "b.toml"\n[wall.plate]\nfastener = "16d common"\nspacing = "8 in"\n'
    'state = "final"\n'
    'into_framing = true\nsheathing_fastener = "8d common"\nsheathing_spacing = "6 in"\n'
    'sheathing_field_spacing = "6 in"\nsheathing_laps = "plate"\n'
)


def a_return(length="8 ft", *, more=STRAPS, left_out="", side="left", done=DONE):
    lines = [
        f'length = "{length}"',
        'studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }',
        'sheathing = "osb 7/16"', 'edge_nail = "8d common"', 'edge_spacing = "6 in"', "blocked = true",
        'plate = { fastener = "16d common", spacing = "8 in", laps = "plate", into_framing = true }',
        'corner = { fastener = "16d common", count = 12, joint = "shear" }', more, *done.splitlines(),
    ]  # fmt: skip
    kept = [line for line in lines if not left_out or line.split(" =")[0] != left_out]
    return f"\n[wall.{side}_return]\n" + "\n".join(kept) + "\n"


def with_returns(tmp_path, *returns, name="wall.toml", text=WALL):
    for each in returns:
        side = each.split("_return")[0].split(".")[-1]
        text = text.replace(f'{side}_end = "free"', f'{side}_end = "return"')
    at = text.index("[[wall.opening]]")
    path = tmp_path / name
    path.write_text(text[:at] + "".join(returns) + "\n" + text[at:], encoding="utf-8")
    return path


def checked(capsys, path, *words):
    ran = run(capsys, "check", path, "--json", *words)
    assert ran.status in (0, 1, 4), ran.err
    return ran.json


def test_braces_returns_and_plate_are_the_load_and_their_moments_its_moment(capsys, tmp_path):
    found = checked(capsys, with_returns(tmp_path, a_return()), "--gust", "30")
    heads = {brace["mark"]: brace["head_ft"] for brace in found["braces"]}
    assert max(abs(case["return_lb"]) for case in found["loads"]["cases"]) > 20.0
    for case in found["loads"]["cases"]:
        level = case["brace_horizontal_lb"]
        forces = sum(level.values()) + case["return_lb"] + case["plate_shear_lb"]
        about = sum(level[mark] * heads[mark] for mark in level) + case["return_moment_lbft"]
        assert forces == pytest.approx(case["total_lb"], rel=1e-6)
        assert about == pytest.approx(case["moment_about_plate_lbft"], rel=1e-6)


def test_every_link_of_a_return_is_there_both_ways(capsys, tmp_path):
    found = checked(capsys, with_returns(tmp_path, a_return(more=ONE_STRAP)))
    there = {
        (link["link"], link["direction"]) for link in found["links"] if link["link"].startswith("return ")
    }
    assert there == {
        (f"return {what}", way)
        for what in ("corner", "racking", "strap", "plate shear", "plate shear and uplift", "plate across the grain")
        for way in ("push", "pull")
    }  # fmt: skip


@pytest.mark.parametrize("length", ["0 ft", "1 ft"])
def test_a_return_of_nothing_is_a_free_end_to_the_last_digit(capsys, tmp_path, length):
    free, short = (
        checked(capsys, path, "--gust", "30")
        for path in (
            with_returns(tmp_path, name="free.toml"),
            with_returns(tmp_path, a_return(length), name="short.toml"),
        )
    )
    assert short["links"] == free["links"]
    assert short["loads"] == free["loads"]


@pytest.mark.parametrize(
    "left_out",
    [
        "sheathing",
        "edge_nail",
        "edge_spacing",
        "plate",
        "corner",
        "length",
        "plated",
        "nailed",
        "sheathed",
        "fastened_down",
    ],
)
def test_what_nobody_declared_leaves_the_end_free_and_is_listed(capsys, tmp_path, left_out):
    found = checked(capsys, with_returns(tmp_path, a_return(left_out=left_out)))
    assert all(case["return_lb"] == 0.0 for case in found["loads"]["cases"])
    assert not [link for link in found["links"] if link["link"].startswith("return ")]
    assert [row for row in found["assumed"] if row["field"].startswith(f"wall.left_return.{left_out}")]
    assert any("counts for nothing" in line and left_out in line for line in found["warnings"])


def test_an_old_flag_that_says_no_leaves_the_end_free(capsys, tmp_path):
    found = checked(
        capsys, with_returns(tmp_path, a_return(done=DONE.replace("nailed = true", "nailed = false")))
    )
    assert all(case["return_lb"] == 0.0 for case in found["loads"]["cases"])


def test_a_corner_nobody_describes_is_drawn_out(capsys, tmp_path):
    corner = 'corner = { fastener = "16d common", count = 12, joint = "shear" }'
    declared = with_returns(tmp_path, a_return(), name="a.toml")
    undeclared = tmp_path / "b.toml"
    undeclared.write_text(
        declared.read_text(encoding="utf-8").replace(corner, corner.replace(', joint = "shear"', "")),
        encoding="utf-8",
    )
    capacity = [
        {link["link"]: link["capacity"] for link in checked(capsys, path)["links"]}["return corner"]
        for path in (declared, undeclared)
    ]
    assert capacity[1] < 0.3 * capacity[0]
    assert "wall.left_return.corner.joint" in {row["field"] for row in checked(capsys, undeclared)["assumed"]}


def test_what_falls_for_a_corner_says_so(capsys, tmp_path):
    ran = run(capsys, "check", with_returns(tmp_path, a_return(more="")), "--gust", "30")
    assert "a corner catches the wind" in said(ran.out)
    assert "for 39 mph" in said(ran.out)
    assert "held down by its plate nails alone" in said(ran.out)
    strapped = run(capsys, "check", with_returns(tmp_path, a_return()), "--gust", "30")
    assert "nails alone" not in strapped.out


def test_a_wall_turned_round_gives_the_same(capsys, tmp_path):
    """Window and braces mirrored, the return at the other end: the braces' forces, and every limit."""
    turned = (
        WALL.replace('left = "12 ft"', 'left = "4 ft"').replace('stud_at = "9 ft 4 in"', 'stud_at = "10 ft 8 in"')
        .replace('stud_at = "1 ft 4 in"', 'stud_at = "X"').replace('stud_at = "18 ft 8 in"', 'stud_at = "1 ft 4 in"')
        .replace('stud_at = "X"', 'stud_at = "18 ft 8 in"').replace('lap_side = "left"', 'lap_side = "right"')
    )  # fmt: skip
    one = checked(capsys, with_returns(tmp_path, a_return(), name="a.toml"), "--gust", "30")
    other = checked(
        capsys, with_returns(tmp_path, a_return(side="right"), name="b.toml", text=turned), "--gust", "30"
    )
    assert sorted(b["push_lb"] for b in one["braces"]) == pytest.approx(
        sorted(b["push_lb"] for b in other["braces"]), rel=1e-6
    )
    links = [
        sorted(
            (link["link"], link["direction"], link["limit_gust_mph"] or 0.0)
            for link in each["links"]
            if "return" in link["link"]
        )
        for each in (one, other)
    ]
    assert [row[:2] for row in links[0]] == [row[:2] for row in links[1]]
    assert [row[2] for row in links[0]] == pytest.approx([row[2] for row in links[1]], rel=1e-6)


def test_outside_it_turns_the_other_way(capsys, tmp_path):
    """Push lifts the corner of a return on the brace side; outside it is pull, and there must be floor."""
    more = ONE_STRAP + 'side = "outside"\n'
    loose = checked(capsys, with_returns(tmp_path, a_return(more=more), name="a.toml"))
    assert any("floor_outside" in line for line in loose["warnings"])
    found = checked(
        capsys, with_returns(tmp_path, a_return(more=more + "floor_outside = true\n"), name="b.toml")
    )
    inside = checked(capsys, with_returns(tmp_path, a_return(more=ONE_STRAP), name="c.toml"))

    def least(answer):
        straps = [link for link in answer["links"] if link["link"] == "return strap"]
        return min(straps, key=lambda link: link["limit_gust_mph"] or 1e9)["direction"]

    assert (least(inside), least(found)) == ("push", "pull")


def test_its_own_file_gives_what_could_be_typed(capsys, tmp_path):
    typed = checked(capsys, with_returns(tmp_path, a_return(), name="a.toml"), "--gust", "30")
    own = '\n[wall.left_return]\nwall = "east.toml"\nblocked = true\n' + CORNER + DONE
    path = with_returns(tmp_path, own + STRAPS, name="b.toml")
    (tmp_path / "east.toml").write_text(EAST, encoding="utf-8")
    found = checked(capsys, path, "--gust", "30")
    assert found["links"] == typed["links"]
    before = found["input_sha256"]
    (tmp_path / "east.toml").write_text(EAST.replace("8d common", "6d common"), encoding="utf-8")
    assert checked(capsys, path)["input_sha256"] != before
    (tmp_path / "east.toml").write_text(EAST.replace('"8 in"', '"eight"'), encoding="utf-8")
    ran = run(capsys, "check", path, "--json")
    assert ran.status == 2
    (fault,) = ran.json["errors"]
    assert fault["file"].endswith("east.toml")
    assert fault["field"] == "wall.plate.spacing"


@pytest.mark.parametrize(
    ("typed", "there"),
    [
        ('length = "8 ft"', "length"),
        ('edge_nail = "8d common"', "plate.sheathing_fastener"),
        ('edge_spacing = "6 in"', "plate.sheathing_spacing"),
        ('plate = { fastener = "16d common" }', "plate"),
    ],
)
def test_its_own_file_beside_typed_facts_is_refused(capsys, tmp_path, typed, there):
    (tmp_path / "east.toml").write_text(EAST, encoding="utf-8")
    path = with_returns(tmp_path, f'\n[wall.left_return]\nwall = "east.toml"\n{typed}\n')
    ran = run(capsys, "check", path, "--json")
    assert ran.status == 2
    (fault,) = ran.json["errors"]
    assert fault["field"] == "wall.left_return." + typed.split(" =")[0]
    assert "east.toml" in fault["expected"]
    assert fault["expected"].endswith(f"wall.{there}")


def own_file(capsys, tmp_path, east, *, side="left"):
    """What a check gives with a return whose own file says this."""
    (tmp_path / "east.toml").write_text(east, encoding="utf-8")
    own = f'\n[wall.{side}_return]\nwall = "east.toml"\nblocked = true\n' + CORNER + DONE + STRAPS
    return checked(capsys, with_returns(tmp_path, own), "--gust", "30")


def racking_of(found):
    return {link["link"]: link["capacity"] for link in found["links"]}.get("return racking")


@pytest.mark.parametrize(("state", "counts"), [("standing", True), ("laid down", False), ("planned", False)])
def test_a_return_whose_own_wall_is_not_up_holds_nothing(capsys, tmp_path, state, counts):
    found = own_file(capsys, tmp_path, EAST.replace('name = "East"', f'name = "East"\nstate = "{state}"'))
    assert (racking_of(found) is not None) == counts
    assert any(case["return_lb"] for case in found["loads"]["cases"]) == counts


def test_a_panel_over_foam_or_nailed_wider_on_its_studs_holds_less(capsys, tmp_path):
    """The table has no row for a panel over foam; vertical edges stand on studs, and are nailed as those are."""
    assert racking_of(own_file(capsys, tmp_path, EAST.replace('["osb', '["foam 1", "osb'))) is None
    assert racking_of(own_file(capsys, tmp_path, EAST.replace('["osb', '["housewrap", "osb'))) is not None
    close = racking_of(own_file(capsys, tmp_path, EAST))
    wide = racking_of(
        own_file(capsys, tmp_path, EAST.replace('field_spacing = "6 in"', 'field_spacing = "12 in"'))
    )
    assert wide == pytest.approx(close / 2.0, rel=1e-9)


def test_its_own_file_is_met_at_the_end_that_lies_there_with_braces_inside(capsys, tmp_path):
    """A 6 ft door 2 ft from LEFT of a wall 12 ft long: 4 ft from a left return's corner, 2 ft from a right one's.

    Of the 4 ft and the 2 ft piece only the one of 4 ft counts: it is at the corner, and takes its strap.
    """
    east = EAST.replace('length = "8 ft"', 'length = "12 ft"').replace(
        "[wall.plate]",
        '[[wall.opening]]\nleft = "2 ft"\nwidth = "6 ft"\nheight = "7 ft"\nsill = "0 ft"\n[wall.plate]',
    )
    told = {side: own_file(capsys, tmp_path, east, side=side) for side in ("left", "right")}

    def strapped(found):
        return [link["why"] for link in found["links"] if link["link"] == "return strap"]

    assert racking_of(told["left"]) == racking_of(told["right"])
    assert all("corner lifted" in why for why in strapped(told["left"]))
    assert all("far end lifted" in why for why in strapped(told["right"]))
    assert strapped(told["left"])
    assert strapped(told["right"])


def test_until_its_corner_counts_the_wall_stands_free(capsys, tmp_path):
    """Every stage but the last is that of the wall with its corner not nailed."""
    path = with_returns(tmp_path, a_return(), name="a.toml")
    loose = with_returns(
        tmp_path, a_return(done=DONE.replace("nailed = true", "nailed = false")), name="b.toml"
    )
    one, other = (run(capsys, "stages", each, "--gust", "25", "--json").json for each in (path, loose))
    assert one["stages"][:-1] == other["stages"]
    assert one["stages"][-1]["corners"] is True
    assert not any(stage["corners"] for stage in other["stages"])


def test_a_corner_that_is_ticked_lets_a_brace_out_and_one_that_is_not_does_not(capsys, tmp_path):
    path = with_returns(tmp_path, a_return())
    events = {
        row["event"]: row
        for row in run(capsys, "stages", path, "--gust", "20", "--json").json["take_down"]["events"]
    }
    assert [out["mark"] for out in events["left return tied"]["may_come_out"]] == ["B2"]
    assert events["right return tied"]["may_come_out"] == []
    ask = ("stages", path, "--gust", "20", "--take-out", "B2")
    assert run(capsys, *ask).status == 1
    assert run(capsys, *ask, "--done", "left return tied").status in WITHIN
    assert run(capsys, *ask, "--done", "right return tied").status == 1


def test_a_deck_nobody_states_a_load_of_spares_no_second_brace_in_push(capsys, tmp_path):
    """Its tick alone says nothing: with one corner ticked the two that push stay, as they do without it."""
    path = with_returns(tmp_path, a_return())
    braces = path.read_text(encoding="utf-8").split("[[brace]]")
    path.write_text("[[brace]]".join(braces[:3]), encoding="utf-8")
    ask = ("stages", path, "--gust", "2", "--take-out", "B2", "--done", "left return tied")
    for more in ((), ("--done", "deck on")):
        ran = run(capsys, *ask, *more)
        assert ran.status == 1
        assert "two braces that live in push stay" in said(ran.out)
    assert run(capsys, *ask, "--done", "deck on", "--deck-takes", "400 lb/ft").status in WITHIN


def frame_stiffness(model):
    """The frame of a file as a matrix over deflections: cubic beams that bend one way, their turns condensed out."""
    names = {node["id"]: k for k, node in enumerate(model["nodes"])}
    places = {node["id"]: (node["x_in"], node["z_in"]) for node in model["nodes"]}
    turns, count = {}, len(names)
    rows = []
    for k, beam in enumerate(model["beams"]):
        here = []
        for end in ("i", "j"):
            free = beam[f"release_{end}"]
            others = [b for b in model["beams"][k - 1 : k] if b["j"] == beam["i"] and not free and end == "i"]
            here.append(turns[(k - 1, "j")] if others else count)
            count += not others
            turns[(k, end)] = here[-1]
        length = float(np.hypot(*np.subtract(places[beam["i"]], places[beam["j"]])))
        rows.append((names[beam["i"]], here[0], names[beam["j"]], here[1], beam["EI_lbin2"], length))
    whole = np.zeros((count, count))
    for *at, EI, L in rows:
        k = EI / L**3 * np.array([
            [12, 6 * L, -12, 6 * L], [6 * L, 4 * L * L, -6 * L, 2 * L * L], [-12, -6 * L, 12, -6 * L],
            [6 * L, 2 * L * L, -6 * L, 4 * L * L],
        ])  # fmt: skip
        whole[np.ix_(at, at)] += k
    return whole, names


def test_the_frame_written_out_with_its_return_agrees_with_another_solution(capsys, tmp_path):
    """A dense frame put together here from the file alone, with its springs and the return's matrix, moves alike."""
    out = tmp_path / "model.json"
    run(capsys, "check", with_returns(tmp_path, a_return()), "--gust", "30", "--model", out)
    model = json.loads(out.read_text(encoding="utf-8"))
    whole, names = frame_stiffness(model)
    for spring in model["springs"]:
        whole[names[spring["node"]], names[spring["node"]]] += spring["k_lb_per_in"]
    held = [names[node] for node in model["returns"]["nodes"]]
    K = np.array(model["returns"]["k_lb_per_in"])
    whole[np.ix_(held, held)] += K
    free = [k for k in range(len(whole)) if not (k < len(names) and model["nodes"][k]["held"])]
    assert len(model["returns"]["nodes"]) == 2
    for case in model["cases"]:
        load = np.zeros(len(whole))
        for node, force in case["loads_lb"].items():
            load[names[node]] = force
        moved = np.zeros(len(whole))
        moved[free] = np.linalg.solve(whole[np.ix_(free, free)], load[free])
        ours = np.array(list(case["deflection_in"].values()))
        assert moved[: len(names)] == pytest.approx(ours, abs=1e-3 * np.abs(ours).max())
        force = K @ moved[held]
        assert list(case["return_lb"].values()) == pytest.approx(force, abs=1e-3 * np.abs(force).max())


def test_its_line_is_kept_clear_of_feet(capsys, tmp_path):
    """8 ft away from the wall, as wide as its studs: a foot there is refused to a layout and the plan shows it."""
    path = with_returns(tmp_path, a_return(), text=BARE)
    found = run(capsys, "layout", path, "--gust", "20", "--budget", "0", "--json").json
    assert found["braces"]
    assert all(brace["foot_x_ft"] > 5.5 / 12.0 or brace["set_back_ft"] > 8.0 for brace in found["braces"])
    assert len(found["after_each_mph"]) == len(found["braces"])
    asked = " ".join(map(str, found["needed_too"]))
    assert "a brace of its own" in asked
    assert "strap at both ends" not in asked


def test_a_layout_asks_for_straps_where_plate_nails_alone_hold_a_return_down(capsys, tmp_path):
    path = with_returns(tmp_path, a_return(more=""), text=BARE)
    ran = run(capsys, "layout", path, "--gust", "10", "--budget", "0")
    assert "strap at both ends" in said(ran.out)


def test_sheathing_nailed_to_nothing_at_its_foot_racks_nothing(capsys, tmp_path):
    """No shear goes from the panel to the plate: as for the wall itself, none is what nobody declared."""
    told = a_return()
    for name, laps in (("none", 'laps = "none", '), ("undeclared", "")):
        found = checked(
            capsys, with_returns(tmp_path, told.replace('laps = "plate", ', laps), name=f"{name}.toml")
        )
        assert all(case["return_lb"] == 0.0 for case in found["loads"]["cases"])
        assert any("plate.laps" in line for line in found["warnings"])
    assert "wall.left_return.plate.laps" in {row["field"] for row in found["assumed"]}


def test_a_strap_of_no_report_counts_for_nothing_and_what_is_under_one_is_said(capsys, tmp_path):
    unnamed = STRAPS.replace('strap_source = "report 1"\n', "")
    named, without, none = (
        checked(capsys, with_returns(tmp_path, a_return(more=more), name=f"{k}.toml"))
        for k, more in enumerate((STRAPS, unnamed, ""))
    )
    assert "return strap" in {link["link"] for link in named["links"]}
    assert without["links"] == none["links"]
    assert "wall.left_return.strap_source" in {row["field"] for row in without["assumed"]}
    assert any("rim and joist are not checked" in line for line in named["warnings"])


def corner_of(capsys, tmp_path, told, *, moisture="green"):
    text = WALL.replace('moisture = "green"', f'moisture = "{moisture}"')
    found = checked(capsys, with_returns(tmp_path, told, text=text))
    return {link["link"]: link["capacity"] for link in found["links"]}.get("return corner")


def test_a_corner_holds_by_the_weaker_of_both_walls_studs(capsys, tmp_path):
    """The fastener is in both: the return of denser or of drier wood adds nothing to this wall's."""
    same, denser, lighter = (
        corner_of(capsys, tmp_path, a_return().replace("spruce-pine-fir", wood))
        for wood in ("spruce-pine-fir", "douglas fir-larch", "spruce-pine-fir (south)")
    )
    assert denser == same
    assert lighter < same
    drawn = a_return().replace(', joint = "shear"', "")
    green, dry = (corner_of(capsys, tmp_path, drawn, moisture=each) for each in ("green", "dry"))
    assert green < 0.5 * dry
    kept = drawn.replace("blocked = true", 'blocked = true\nmoisture = "dry"')
    assert corner_of(capsys, tmp_path, kept) == green


def test_half_of_an_odd_count_is_the_lesser_half(capsys, tmp_path):
    held = {
        n: corner_of(capsys, tmp_path, a_return().replace("count = 12", f"count = {n}"))
        for n in (1, 2, 3, 12, 13)
    }
    assert held[1] is None
    assert held[3] == held[2]
    assert held[13] == held[12]
    assert held[12] == pytest.approx(6.0 * held[2], rel=1e-12)
