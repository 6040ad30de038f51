"""The words of a pull test, in English, by id; `text/en.py` has them among all others."""

from __future__ import annotations

PULL_WORDS: dict[str, str] = {
    "pull-told":
        "{name}: {pulls} pulls, {boards} {board}, mean {mean}, s {s}, k {k}, low end {low_end}: "
        "1.6 x {CM}{mean} / 5 = {first}, {kmod} x {low_end} / 1.95 = {second}{after}; {ends:; }.",
    "pull-few":
        "{name}: {pulls} pulls, {boards} {board}, too few for a low end: lowest {lowest} / 3 = {third}"
        "{after}; few pulls can only lower; {ends:; }.",
    "pull-joint": "{joint}: table {table}{cap}; counts {counts}",
    "pull-joint-head": "{joint}: table {table}{cap}; counts {counts}, and its head or steel {others}",
    "pull-in-cleat": "cleat to floor", "pull-in-plate": "bottom plate to floor", "pull-in-panel": "deck to joists",
    "pull-in-head": "brace to stud", "pull-in-sheathing": "sheathing to stud",
    "pull-not-used": "nothing of this wall is fastened so: it changes nothing",
    "pull-after-moisture": ", the lesser x {CM} for its moisture = {left}",
    "pull-nothing": "",
    "pull-cap": ", cap {cap}",
    "pull-no-cap": ", no cap: it has a report",
    "pull-joist": "joist", "pull-decks": "deck panels",
    "pull-stud": "stud", "pull-plate": "plate", "pull-plates": "plates",
    "pull-assumed": "{name}: ASSUMED, since nobody measured it: {what:; }",
    "pull-of-driven": "moisture when driven, the worse counts",
    "pull-of-pulled": "moisture when pulled, the worse counts",
    "pull-as-in-the-joint":
        "{name}: it counts as driven for the pull as in its joint, which the form says; if more of it was in the "
        "board, give depth",
    "pull-left-out": "{name}: pull {pull} is left out: {why}",
    "pull-ended": "{name}: {ends:, }: each counts as far as it was pulled",
    "pull-ended-stopped": "{count} stopped",
    "pull-ended-head": "{count} by the head",
    "pull-ended-split": "{count} split",
    "pull-ended-steel": "{count} by the steel",
    "pull-none": "No pull test in this file.",
    "pull-limits": "Limit gust {limit}; by the tables alone {tables}.",
    "pull-limits-none": "No limit gust: no braces on file, or for an engineer. The tests count once there is one.",
    "pull-what-for":
        "A pull test tells of one fastener drawn out of that board, green or dry as the wall is. Its head, its steel "
        "and its shear stay by the tables. Not for concrete, block or brick: their anchors need a report. Not for "
        "drywall or deck screws: they snap. Pull again out of the next load of wood.",
    # Asking.
    "pull-ask-fastener": "Which fastener, such as structural screw 0.22x5?",
    "pull-ask-into": "Out of what: joist, deck, stud or plate?",
    "pull-ask-depth": "How much of its thread, or of a nail, was in that board, such as 2 3/4 in? Enter: not measured",
    "pull-ask-division": "The least step of the scale, such as 5 lb?",
    "pull-ask-lever":
        "The lever: fulcrum to scale, fulcrum to fastener, weight of the bar, fulcrum to where it balances, such as "
        "40 in, 8 in, 6 lb, 20 in? Enter: no lever, the scale pulled straight",
    "pull-ask-driven": "Moisture of the wood when it was driven, such as 24%? Enter: not measured",
    "pull-ask-pulled": "And when it was pulled? Enter: not measured",
    "pull-ask-pulls":
        "Each pull: peak, which board, how it ended, such as 132 lb, 1, drawn. One a line; Enter ends. How: drawn, "
        "stopped, head, split or steel",
    "pull-ask-next": "Pull {number}?",
    "pull-refused": "Got {got}; expected {expected}.",
    "pull-written": "Written into {file} as {name}.",
}  # fmt: skip
