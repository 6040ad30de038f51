"""The words of chances, in English, by id: a part of those of `text/en.py`."""

from __future__ import annotations

CHANCE_WORDS: dict[str, str] = {
    "chance-limits-first": "Clear out before {clear}; limit gust {limit}. Nothing below moves either.",
    "chance-no-limits": "No limit gust is given.",
    "chance-first": "first link",
    "chance-line": "brace line goes",
    "chance-gone": "{mark} gone",
    "chance-gone-is": (
        "{mark} gone: the first link of the wall at rest without it, of all braces the one that makes that likeliest "
        "at the limit gust. Parts count at real strength, a typed strap as typed."
    ),
    "chance-missed": "1 joint in 20 missed",
    "chance-of-hundred": "Of 100 walls, at {unit}",
    "chance-tonight": (
        "Tonight, {gust}: passes {passes:; }. Line goes, {line} of 100; one joint in twenty missed, {missed}."
    ),
    "chance-passes": "{gust}, {share} of 100",
    "chance-own-nights": "Tonight's peak is reckoned from {count} nights read at the site.",
    "chance-weeks": "{nights} nights, {speed}: line goes, {least}{line} of 100; one joint in twenty missed, {missed}.",
    "chance-one-night": "{gust}: {least}one night in {count}.",
    "chance-at-least": "at least ",
    "chance-no-figure": "No chance is given: {why:; }.",
    "chance-not-given": "Not given: {why:; }.",
    "chance-left-out": "Left out: {what:, }.",
    "chance-ranges": (
        "First link: the first past its real strength, not its allowable value. In brackets: every mean strength 15% "
        "higher and 15% lower. A chance is no leave to stand by a wall."
    ),
    "chance-pulled": (
        "{name} counts in {links} links: mean {mean} of {pulls} pulls, single ones scatter by {scatter} of it."
    ),
    "chance-title": "How likely it is that the bracing goes, over the gust",
    "chance-alt": (
        "Curves over the gust. In a gust of the limit, {limit}, the brace line goes in {line} of 100 such walls, and "
        "in {missed} where one joint in twenty was missed."
    ),
    "chance-on-sheet": (
        "First link: the first past its real strength, not its allowable value. A chance is no leave to stand by a "
        "wall. The command chance gives the range of each."
    ),
    "chance-typed": "A strap or an anchor counts as typed and no more, so a rung of one reads worse than it is.",
    "chance-mends": "What it buys tonight, of 100 such walls:",
    "chance-mends-over": "Nothing that can be added brings it within at {gust}: {why}.",
    "left-out-tonight-storms": "thunderstorms tonight",
    "left-out-season": "season",
    "left-out-direction": "direction",
    "left-out-racking": "racking",
    "left-out-splits": "splits",
    "no-weeks-speed": "weeks, for nobody said the design speed of the site",
    "no-weeks-stands": "weeks, for nobody said how long it stands",
    "no-weeks-hurricanes": "weeks, for over {most} the wind of the place is that of hurricanes",
    "no-tonight-storms": "tonight, for nobody can say what a thunderstorm brings to one wall",
    "no-chance-loose": "the wall can move, and any wind may take it",
    "no-chance-not-up": "the wall is not up",
    "no-chance-disbelieved": "it stood {gust}, and by these sums fewer than 1 in 20 such walls would have",
    "mend-walk": "a walk that finds every joint missed",
}
