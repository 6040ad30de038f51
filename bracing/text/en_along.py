"""The words of a wall along itself and of what comes on it from above, in English, by id, for `text/en.py`."""

from __future__ import annotations

ALONG_WORDS: dict[str, str] = {
    "look-diagonals": "diagonals in the frame",
    "nothing-along": "nothing declared keeps this frame upright along its own length: it needs diagonals, or panels",
    "nothing-along-sheathed": "no full-height piece of structural panel is wide enough to count; no diagonal",
    "piers-along": "{count} full-height pieces of sheathing, {long} in all, {what} every {apart} at the edges",
    "pier-held-by": "{so_many}, and 0.6 of its weight of {weight}",
    "pier-by-weight": "0.6 of its weight alone: nothing ties its sheathing to the floor",
    "no-diagonal-this-way": "with the wind from {side} no diagonal is drawn, and none that is pushed has a strap",
    "diagonal-drawn": "{size} drawn, between studs",
    "diagonal-pushed": "{size} pushed, between studs",
    "plate-near-a-diagonal": "{so_many} within {near}, each pulled {lever} times its part of the lift",
    "a-diagonal": (
        "a {size} across the frame, {long}, from {foot} on the plate to {head} at the top: {count} x {what} at each "
        "end, {each} at every stud"
    ),
    "over-along": "along its own length the wall reaches its limit at {limit}: it needs panels nailed on, or diagonals",
    "look-above": "what stands on the wall from above or leans on it",
    "above-trusses": "trusses",
    "above-rafters": "rafters",
    "above-untied": "nobody said what keeps these {what} from tipping over: tied_to",
    "above-unknown": (
        "UNKNOWN: nobody said what keeps the {what} from tipping over. Nobody on or under them until they are tied."
    ),
    "unknown-at": "{verdict} at a gust of {gust}.",
    "storey-unknown": (
        "UNKNOWN: nobody said that the storey under this wall is done (storey_below). What is said is of this wall."
    ),
    "storey-takes": (
        "the storey below takes up to {load} level from this wall at {gust}; its racking is checked in a job alone "
        "([[below]] in job.toml, bracing box)"
    ),
    "keep-clear-below": (
        "Keep clear: {inside} from the wall on the brace side, {outside} outside, as far past both ends, and the "
        "storey below."
    ),
    "above-most": "Of the {what} at most {most} as it is braced, people about in gusts to {day}.",
    "above-or-more": "Of the {what} {most} or more as it is braced, people about in gusts to {day}.",
    "before-the-first": "Before the first of the {what}, people about in gusts to {day}: {needs:; }.",
    "above-at-brace": " at {mark}",
    "above-headers": (
        "headers, and the top plate between two studs, are not checked under what stands on them from above"
    ),
    "before-the-first-tie": "tie the {what}, and say to what (tied_to)",
    "before-the-first-braces": "braces: none is on file",
    "before-the-first-link": "strengthen the {link}{where}: with the first one up it is at its limit before {day}",
    "loads-declared": "Counted on it from above, as declared: {what:; }.",
    "load-row": "{count} {what}, {each} each{span}{at}{tied}",
    "load-span": ", {span} from wall to wall",
    "load-at": ", at {at} from LEFT",
    "load-tied": ", tied to: {to}",
    "stands-on-it": "with {load} on it from above, a sixth of its depth off its middle",
    "boards-for-diagonals": "{size} for the diagonals",
}
