"""The words of return walls, in English, by id; `text/en.py` has them among all others."""

from __future__ import annotations

RETURN_WORDS: dict[str, str] = {
    "at-left": "LEFT",
    "at-right": "the right",
    "return-lacks": "the return at {where} counts for nothing, its end is free: not declared, or not done: {lacks}",
    "return-too-little":
        "the return at {where} counts for nothing, its end is free: too short for its height, or its sheathing, plate "
        "or corner hold nothing",
    "returns-for-nothing": "the return at {where: and } counts for nothing: end free",
    "return-straps-on":
        "under the straps of the return at {where} rim and joist are not checked: they must carry what the straps draw",
    "return-corners": "corners of the returns",
    "return-corners-nailed": "the corners of the returns nailed as declared",
    "hook-off-corners":
        "Hook stays on until {mark} is fully {fastened}, all tie rows are on and the corners of the returns are nailed "
        "as declared, for gusts to {day} (clear-out then {then}).",
    "corner-catches-wind":
        "a corner catches the wind: {more}% more on this wall; with the return as declared {now} for {then}, by {link}",
    "corner-draws-load": "the return is stiffer and draws load: with it as declared {now} for {then}, by {link}",
    "return-asks-straps":
        "the return at {where} is held down by its plate nails alone where it is lifted: give it a strap at both ends, "
        "or nail its sheathing to the rim",
    "return-asks-brace":
        "the return at {where} stands free until its corner is nailed, then takes a brace of its own within {near} of "
        "its far end: check it by itself",
    "return-takes-over":
        "From here on the return at {where} counts, as strong as its corner, sheathing and foot are declared",
    "two-push-stay": "two braces that live in push stay, unless the corners at both ends count and are ticked",
    "returns-count-for-nothing": "That return counts for nothing: end free",
    "half-of-the-corner": "half of {count} x {what}, {each} each",
    "pieces-of-return": "pieces of return {lengths:, } long",
    "corner-lifted": "corner lifted",
    "far-end-lifted": "far end lifted",
    "end-of-return": "{where}; {what} at {apart}",
    "link-return-corner": "the corner of the return comes apart",
    "link-return-racking": "the sheathing of the return racks",
    "link-return-foot": "the plate nails of the return are drawn and pushed",
    "link-return-grain": "the plate of the return splits along its length as it is lifted",
}  # fmt: skip
