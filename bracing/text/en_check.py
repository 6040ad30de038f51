"""The words of a wall checked and of a wall walked, in English, by id; `text/en.py` has them among all others."""

from __future__ import annotations

CHECK_WORDS: dict[str, str] = {
    # Of another language.
    "unsigned-words":
        "NOT LOOKED OVER by anyone who frames in this language: where the words and the English beneath them differ, "
        "the English counts. LEFT is left for someone on the brace side facing the wall.",
    "the-english-of-it": "In English, which counts:",
    "english-beside": "EN: {english}",
    # What a screen begins with.
    "wall-title": "{wall}, {long} long, {high} high: {state}",
    "state-of-a-wall": "{state:, }",
    "outside-the-tool": "For an ENGINEER: this lies outside what the tool covers.{withheld}",
    "no-limit-given": " No limit gust is given.",
    "mind": "Mind: {what}.",
    # The verdict, and the gusts.
    "as-drawn-it-would-be": "As drawn it would be {told}",
    "no-gust-asked": "No gust was asked: these are the limits.",
    "its-limit-at": "{verdict} its limit at a gust of {gust}{out}.",
    "and-people-out": ", and people out",
    "loose-without-braces": "OVER: without braces this wall can still move: its limit gust is 0.",
    "loose-in-wind":
        "OVER: with the wind from {winds: and from the } this wall can still move. What stands against it then "
        "counts "
        "for nothing, or is too little: its limit gust is 0.",
    "loose-in-pull":
        "OVER: with the wind from the {winds: and from the } this wall can still move. What stands against it then "
        "counts for nothing, or is too little: its limit gust is 0.",
    "sustained-planned": "A sustained {speed}, times {factor}, is planned as a gust of {gust}.",
    "storms-planned": "Thunderstorms: planned for {gust} at the least; a gust can exceed any number.",
    "clear-out-as-drawn": "Stood up as drawn, its clear-out gust is {gust} ({meter})",
    "clear-out-before": "CLEAR OUT before a forecast gust of {gust}{meter}",
    "clear-out-now": "CLEAR OUT now and stay out: its clear-out gust is 0{meter}",
    "none-on-a-meter": " (0 on a meter too)",
    "with-thunderstorms": "With thunderstorms in the forecast: {gust}",
    "on-a-meter": "{gust} on a meter {height} above deck",
    "limit-gust": "Limit gust: {gust}.",
    "limit-with-people": "With people on it or beside it: {gust}, so they are out by then.",
    "limit-less-weight": "It counts 0.6 of the wall's weight against lift of the plate; without it {gust}.",
    "one-brace-gone":
        "With any one brace missing: {rest} ({first} gone) at rest, {lost} lost in the gust ({second}).",
    "gives-first": "Gives first: {link}.",
    "weakest-counted": "Weakest of the links that count: {link}.",
    "first-for-nothing": "First of what counts for nothing: {link}.",
    "another-reading-beside":
        "Another reading, only where access is controlled: {speed} design wind for the time it stands comes to a "
        "gust "
        "of {gust}, {verdict} its limit.",
    "at-from-left": "at {at} from LEFT",
    "over-a-gust": "over {gust}",
    "keep-clear":
        "Keep clear: {inside} from the wall on the brace side, {outside} outside, and as far past both ends.",
    # Braces, and the sums beside them.
    "braces-with-forces": "Braces, studs taped from LEFT, largest force along each [{unit}] at {gust}:",
    "one-counts-for": "{marks} counts for {why}{gloss}.",
    "several-count-for": "{marks} count for {why}{gloss}.",
    "without-anchored-ties": ", without an anchored tie row",
    "and-the-last": "{others:, } and {last}",
    "feet-load": "A foot presses the floor down with up to {down}, and lifts it with {up}.",
    "by-hand":
        "By hand: {pressure} of even wind is {hand} level in all; the frame gives {frame}. Compare these sums, not "
        "single braces; --links says how it is done.",
    "by-hand-in-full":
        "By hand: {pressure} of even wind{raised}, each brace taking half-way to the next, is {hand} level in all; "
        "the "
        "frame gives {frame}. Compare these sums, not single braces (up to 40% apart): {why}.",
    "pushing-higher": " pushing a twentieth of the wall's height above the middle",
    "links-from-memory": "From memory, not read in print: {links:, }.",
    # What was assumed.
    "assumed-and-costs": "ASSUMED, since nobody declared it, and what each costs:",
    "assumed-count": "ASSUMED: the low default in {places} nobody declared{where}.",
    "one-place": "one place",
    "so-many-places": "{count} places",
    "usual": "(usual {value})",
    # The next command.
    "next-sheet": "Next, the page to hand out:",
    "next-links": "Next, every link:",
    "next-gust": "Next, with the gust of the forecast:",
    "next-layout": "Next, what would do:",
    "next-storm": "Next, the forecast:",
    # What a walk found.
    "built-title": "{wall}: {state}, {when}, by {by}.",
    "built-differ": "{count} of {of} braces differ from the plan.",
    "built-as-planned": "Every brace is as planned.",
    "built-none-on-file": "No brace was on file.",
    "built-extra": "Up, and in no plan: {marks:, }.",
    "built-one-thing": "Beside the braces {count} thing differs.",
    "built-things": "Beside the braces {count} things differ.",
    "built-found": "{mark}: {what}",
    "built-engineer": "For an ENGINEER as it stands: {why:; }",
    "built-limit": "Limit gust as built: {gust}.",
    "built-as-planned-limit": "As planned it would be {gust}.",
    "walked-by-whom": "Who walked it, by role (such as lead framer)?",
}  # fmt: skip
