"""The words of walls joined at their corners, in English, by id: a part of those of `text/en.py`."""

from __future__ import annotations

OF_BOXES: dict[str, str] = {
    "across-and-along": "with what other walls press along it",
    "goes-back": "{mark} goes back, or people out, before any gust of {gust} or over.",
    "no-forecast-none-leaves": "no forecast: none leaves (--gust or --forecast)",
    "not-foretold-none-leaves": "nothing foretold from {start} to {end}: none leaves (--gust, or a whole forecast)",
    "kept-until-event": "until {until}: the next event is done by then, or every brace is back",
    "at-end-left": "{file} at LEFT",
    "at-end-right": "{file} at the right",
    "met-by-its-job": "job.toml: {met:, }. That wind is counted, what corners hold is not: bracing box.",
    "two-push-braces-stay": "two braces that push stay until both ends count",
    "leaves-too-little": "leaves {leaves}, to stay over {keep}",
    "stays-and-missing": "{why}; {missing:; }",
    "stays-not-looked-for": "not looked for in the time there was",
    "corner-not-ticked": "corner {corner}: {ticks:, } not ticked",
    "corner-not-ticked-short": "nothing: {ticks:, } not ticked",
    "corner-gives-nothing": "nothing: a wall not up, not sheathed or not nailed as declared",
    "no-corners": "No [[corner]] in job.toml: each wall stands by its own braces.",
    "wall-not-up": "its wall is not up ({state})",
    "of-wall": "{wall}: {said}",
    "box-trace": (
        'Trace of the sums of each wall with its corners. Forces "from the frame" are of all walls together; the rest '
        "comes out the same on a hand calculator. Sums at {gust} unless a line says otherwise; the governing link of "
        "every kind, lowest gust first."
    ),
    "below-takes": (
        "Storey below, under {under}, wind along it: {load} of {most} in racking at {gust}; at its limit at {limit}."
    ),
    "below-lacks": "The storey below, piece {number}, under {under}, counts for nothing: {lacks:, } not declared.",
    "below-not-checked": (
        "NOT CHECKED: the racking of the storey below. Say of its sheathed walls, under two walls of this job each "
        "way, what they are ([[below]] in job.toml)."
    ),
    "stays-while-unknown": (
        "UNKNOWN is the storey below, or what ties its trusses (check says which first): until it is said none leaves"
    ),
    "decks-and-joists-count-for-nothing": (
        "Count for nothing here: decks, roofs, joists, ceiling joists, rafters, partitions."
    ),
    "roofs-and-joists-count-for-nothing": (
        "Count for nothing here: roofs, joists, ceiling joists, rafters, partitions."
    ),
    "deck-counts": "{deck} counts, at the tops of {walls:, }.",
    "deck-counts-for-nothing": "{deck} counts for nothing: {why:; }.",
    "deck-is-a-roof": "a roof; its own wind, which lifts it, is not covered",
    "roof-is-on": "{deck}, a roof, is on, and the wind that lifts it is not covered",
    "deck-not-ticked": "{ticks:, } not ticked",
    "deck-lacks": "{lacks:, } not declared",
    "deck-no-ring": "its four walls are not up and joined at four corners that count",
    "deck-not-level": "the tops of its walls are not level",
    "deck-too-long": "over {most} times as long as deep",
    "deck-no-studs": "a wall has no full-height stud between its ends",
    "deck-worth-nothing": "nailed wider than 6/12, or of panels, joists or nails no table counts",
    "deck-tops": "{count} of {what} over the wall, {each} each, across it and along",
    "deck-shear": "edges not blocked, over {deep}",
    "deck-chord": "{count} of {what} through a lap of the top plates",
    # The screen of a job.
    "this-job": "This job",
    "storey-below-of": "the storey below {wall}",
    "box-head": "{name}: {up} of {walls} walls up, {count} of {corners} corners count.",
    "box-nothing-given": " No gust is given, and no brace leaves.",
    "box-none-up": "No wall is up: nothing is joined yet.",
    "box-assumed": "ASSUMED, at their low defaults: {fields:, }.",
    "box-out": "{out}: all of the job, for {first}.",
    "box-forecast": "The forecast counts {why}.",
    "box-over": "OVER the limit of {weakest} at {gust}.",
    "box-within": "WITHIN the limit of every wall at {gust}.",
    "box-within-people-out": "WITHIN the limit of every wall at {gust}, and people out.",
    "box-next": "Next:",
    "box-next-on-the-day": "Next, on the day:",
    "finds-no-corner": "none: by its braces alone",
    "room-not-declared": "room not declared",
    "room-too-little": "{room}: TOO LITTLE",
    "can-still-move": "it can still move",
    "corner-takes": "takes at {gust}, at the middle of the end stud + its top",
    "may-leave": "May leave, one at a time, each wall's clear-out over {keep}; tick, ask again:",
    "none-may-leave": "No brace may leave: every wall's clear-out is to stay over {keep}.",
    "box-stay": "Stay: {marks:, }: {why}.",
    "box-step": "[ ] {number}. {brace} ({of} then). {back}",
    "asked-may-leave": "{brace} may leave: take out this one, then ask again. {back}",
    "asked-without": "Without it the least clear-out gust is {gust} ({of}).",
    # Taking braces out.
    "comes-out-only-over": "A brace comes out only where the clear-out gust after it is over {gust}{blows}: {why}.",
    "in-a-thunderstorm": " in a thunderstorm's wind",
    "removal-may": "{mark} may come out: {why}.",
    "removal-stays": "{mark} STAYS: {why}.",
    "removal-leaves": "Without it the clear-out gust is {out}, the limit gust {limit}. {kept}",
    "after-an-event": "[ ] {event}: {who} {note}",
    "none-may-come-out": "none may come out.",
    "every-brace-is-out": "every brace is out by then.",
    "may-come-out": "{mark} (clear-out then {out})",
    "may-come-out-in-order": "clear-out {clear}. May come out, in this order: {out:, }{stay}",
    "these-stay": ". Stay: {marks:, }.",
    "then-every-brace-is-out": "; then every brace is out.",
}
