"""The words of a forecast against walls, in English, by id; `text/en.py` has them among all others."""

from __future__ import annotations

STORM_WORDS: dict[str, str] = {
    # A forecast.
    "times-sustained": "sustained {given} x {factor} = {gust}",
    "no-less-in-storms": "thunderstorms: no less than {gust}",
    "read-back": "Read as {count} rows, {start} to {end}, {zone}: {what:; }.",
    # What first.
    "first-head": "WHAT FIRST, for {people} people on one wall at a time, {until}.",
    "first-until": "from now until {until}",
    "first-no-end": "from now on",
    "first-most":
        "{done} of {count} walls that are over in gusts to {gust} come within, in {minutes} min; no other choice does "
        "more, or as many sooner.",
    "first-best-found":
        "{done} of {count} walls that are over in gusts to {gust} come within, in {minutes} min: the best found, not "
        "proved.",
    "first-out-now": "CLEAR OUT now, and stay out of their zones while the others are worked on: {walls:, }.",
    "first-no-time": "NOT SAVED, no time for its {minutes} min",
    "first-not-on-hand": "NOT SAVED, not on hand: {lacks:; }",
    "first-needs-a-machine": "NOT SAVED, people must be out of its zone now: only with a machine on it from the start",
    "first-engineer": "NOT SAVED, outside what this tool covers: an engineer's",
    "first-nothing-covers": "NOT SAVED, no work on a standing wall covers it: {why}",
    "first-now": "now",
    "first-by": "by {when}",
    "first-lay-down":
        "CLEAR OUT {when}, {zone} and more from it; or LAY IT DOWN before {before}, with a machine, in gusts under "
        "{limit}.",
    "first-stay-out": "CLEAR OUT {when}, {zone} and more from it, and STAY OUT until the wind is past.",
    "first-all-out": "CLEAR OUT of all of them by {when}, done or not.",
    "first-within": "Within as they stand: {walls:, }. People are out of their zones from their clear-out gusts on.",
    "first-take": "Take, for all of it:",
    "first-not-counted": "NOT COUNTED, look for it before you start: {what:; }.",
    "first-assumed": "ASSUMED: {what:; }.",
    "first-two-people": "two people",
    "first-a-box": "{count} in a box of {what}",
    "read-own-clock": "this computer's clock",
    "read-gusts": "gusts of {speeds} in {count}",
    "read-winds": "no gust in {count}, so {factor} times their wind of {speeds}",
    "speeds-between": "{low.number} to {high}",
    "read-storms": "thunderstorms in {count}",
    # In a text message.
    "text-head": "{wall} ({state}): {verdict}",
    "text-not-up": "gusts to {gust}\nNobody is told to clear out for it\nTruck: nothing",
    "text-worst": "gusts to {gust}, limit {limit}",
    "text-engineer": "engineer: outside what the tool covers",
    "text-out-engineer": "OUT now and stay out",
    "text-out-any": "OUT before any gust of {gust}",
    "text-out-now": "OUT now: clear-out gust {gust}",
    "text-out-by": "OUT by {when}: clear-out gust {gust}",
    "text-not-covered": "; NOT COVERED: {gap}",
    "gap-before-it-begins": "now until {when}, before this forecast begins",
    "text-nothing-to-add": "Nothing to add for this forecast",
    "text-no-numbers": "No numbers for this wall",
    "text-to-do": "To do: {work:; }, about {minutes} min for two",
    "text-lay-down": "Nothing covers it: lay it down before {when}, gusts to {gust} at most",
    "text-stay-out": "Nothing covers it: stay out",
    "text-truck": "Truck: {parts:; }",
    "text-truck-nothing": "Truck: nothing",
    "text-part": "{count} of {what}",
    "text-turn": "{number}. {wall} by {when}: {work:; }",
    "text-left": "{wall}: {why}; OUT {when}",
}  # fmt: skip
