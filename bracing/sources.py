"""The published sources the numbers come from, and how a clause of one is cited.

Every formula and table row names one of these keys. Editions are fixed here and nowhere else. How a value is known is
one of `KNOWN`: a block of a table says it under `known`, a formula by the source it cites and "from memory" beside it.
"""

from __future__ import annotations

from attrs import frozen

from bracing.errors import MissingDataError

KNOWN = ("read", "memory", "computed", "judgement")  # in print; recalled; by statics; by nobody but us
MEMORY = "from memory"  # in print, beside what is recalled
ABOUT = ("source", "known", "from_memory")  # what a block of a table says of itself, beside its values


@frozen
class Source:
    """One published source.

    Attributes:
        key: short key used in code and tables.
        name: how the source is named in print, with its edition.
        title: full title.
        known: how what cites it is known, where nothing else is said: one of `KNOWN`.
    """

    key: str
    name: str
    title: str
    known: str = "read"


SOURCES: dict[str, Source] = {
    source.key: source
    for source in (
        Source("NDS", "NDS 2018", "National Design Specification for Wood Construction, 2018"),
        Source("NDS-S", "NDS Supplement 2018", "Design Values for Wood Construction, 2018"),
        Source("NDS-C", "NDS 2018 Commentary", "Commentary to the NDS, 2018"),
        Source("TR12", "AWC TR12 (2015)", "General Dowel Equations, Technical Report 12"),
        Source("ASCE7", "ASCE 7-16", "Minimum Design Loads, ASCE/SEI 7-16"),
        Source("ASCE7-22", "ASCE 7-22", "Minimum Design Loads, ASCE/SEI 7-22 (test set only)"),
        Source("ASCE37", "ASCE 37-14", "Design Loads on Structures during Construction, ASCE/SEI 37-14"),
        Source("EN1991", "EN 1991-1-4:2005", "Actions on structures, wind actions (cross-check)"),
        Source("EN1991-6", "EN 1991-1-6:2005", "Actions during execution (cross-check)"),
        Source("EN1995", "EN 1995-1-1:2004", "Design of timber structures (cross-check)"),
        Source("EN338", "EN 338:2009", "Structural timber, strength classes (cross-check)"),
        Source("FPL", "USDA Wood Handbook", "Wood Handbook, Forest Products Laboratory, ch. 4 and 8"),
        Source("IBC", "IBC 2012", "International Building Code, chapter 18"),
        Source("ACI318", "ACI 318-19", "Building Code Requirements for Structural Concrete, ch. 17"),
        Source("NAVFAC", "NAVFAC DM 7.02", "Foundations and Earth Structures, 1986"),
        Source("NAVEDTRA", "NAVEDTRA 14044", "US Navy training manual, Builder"),
        Source("F1667", "ASTM F1667", "Driven Fasteners: Nails, Spikes and Staples"),
        Source("HUD", "HUD Residential Guide", "Residential Structural Design Guide, table 3.2"),
        Source("APA", "APA panel weights", "Approximate panel weights by thickness"),
        Source(
            "PANELS", "Herzog and Yeh", "Nail Withdrawal and Pull-Through Strength of Structural-Use Panels"
        ),
        Source("UTAH", "Utah R614-7-4", "Utah Administrative Code R614-7-4, raising framed walls"),
        Source("OSHA", "29 CFR 1926", "US construction safety rules, 29 CFR part 1926"),
        Source("B30.9", "ASME B30.9", "Slings"),
        Source("DURST", "ASCE 7 fig. C26.5-1", "Durst curve of averaging times"),
        Source("NWS", "NWS criterion", "US National Weather Service, severe thunderstorm criterion"),
        Source("WMO", "WMO Beaufort scale", "WMO Manual on Codes, Beaufort equivalents"),
        Source("STATICS", "statics", "equilibrium, geometry and beam theory; no table", "computed"),
        Source("JUDGEMENT", "bracing judgement", "engineering judgement, see docs/judgement.md", "judgement"),
        Source("PRACTICE", "common practice, no source", "a fact of the trade, unpublished", "judgement"),
        Source("USER", "declared by the user", "a value typed by the user, with its report number"),
    )
}


def cite(key: str, clause: str = "") -> str:
    """Name a source and the clause in it, as printed beside a number.

    Args:
        key: a key of SOURCES.
        clause: the clause, table or equation.

    Raises:
        MissingDataError: the key is not a known source.

    Example:
        >>> cite("NDS", "12.3.1")
        'NDS 2018 12.3.1'
    """
    if key not in SOURCES:
        table = "sources"
        raise MissingDataError(table, key, SOURCES)
    return f"{SOURCES[key].name} {clause}".strip()


def known_of(citation: str) -> str:
    """Tell how what a citation is beside is known: one of `KNOWN`.

    Args:
        citation: a key of SOURCES and a clause, "from memory" in it where it was recalled.

    Raises:
        MissingDataError: the citation does not begin with a known source.

    Example:
        >>> known_of("NDS 12.3.1"), known_of("NDS 12.2.3.2 (from memory)"), known_of("STATICS")
        ('read', 'memory', 'computed')
    """
    if MEMORY in citation:
        return "memory"
    key = citation.split()[0].rstrip(",;:.") if citation.split() else ""
    cite(key)
    return SOURCES[key].known


def least(*known: str) -> str:
    """Tell how a value made of several is known: "memory" where any of them is from memory, else "read".

    Args:
        known: how each is known, one of `KNOWN`.

    Example:
        >>> least("read", "judgement"), least("read", "memory")
        ('read', 'memory')
    """
    return "memory" if "memory" in known else "read"


def beside(clause: str, known: str) -> str:
    """Give a clause as printed: with "from memory" beside it where a recalled value governs.

    Args:
        clause: the clause, as `cite` gives it.
        known: how the value is known, one of `KNOWN`.

    Example:
        >>> beside("NDS 2018 12.2", "memory"), beside("NDS 2018 12.2", "read")
        ('NDS 2018 12.2 (from memory)', 'NDS 2018 12.2')
    """
    return f"{clause} ({MEMORY})" if known == "memory" and MEMORY not in clause else clause
