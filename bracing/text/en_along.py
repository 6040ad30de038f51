"""The words of a wall along its own length, in English, by id; `text/en.py` has them among all others."""

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
    "boards-for-diagonals": "{size} for the diagonals",
}
