"""The published sources the numbers come from, and how a clause of one is cited.

Every formula and table row names one of these keys. Editions are fixed here and nowhere else. How a value is known is
one of `KNOWN`: a block of a table says it under `known`, a formula by the source it cites and "from memory" beside it.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from attrs import frozen

from bracing.errors import MissingDataError

KNOWN = ("read", "memory", "computed", "judgement")  # in print; recalled; by statics; by nobody but us
MEMORY = "from memory"  # in print, beside what is recalled
ABOUT = ("source", "known", "from_memory")  # what a block of a table says of itself, beside its values


QUOTED = "public transcriptions that quote page and cell"
TEST_SET = "public transcriptions; in the tests only"


@frozen
class Source:
    """One published source.

    Attributes:
        key: short key used in code and tables.
        name: how the source is named in print, with its edition.
        title: full title.
        kept: where it is to be had.
        through: what it was read in, where not itself; of a source that is none, nothing.
        known: how what cites it is known, where nothing else is said: one of `KNOWN`.
    """

    key: str
    name: str
    title: str
    kept: str
    through: str = ""
    known: str = "read"


SOURCES: dict[str, Source] = {
    source.key: source
    for source in (
        Source(
            "NDS", "NDS 2018", "National Design Specification for Wood Construction, 2018", "awc.org", QUOTED
        ),
        Source(
            "NDS-S",
            "NDS Supplement 2018",
            "Design Values for Wood Construction, 2018",
            "awc.org",
            QUOTED + "; of table 4A in part the 2015 Supplement",
        ),
        Source("NDS-C", "NDS 2018 Commentary", "Commentary to the NDS, 2018", "awc.org", QUOTED),
        Source(
            "SDPWS",
            "SDPWS",
            "Special Design Provisions for Wind and Seismic, 2008 to 2021",
            "awc.org",
            "a city's public record that reproduces table 4.3A of 2008, and pages that quote the rest",
        ),
        Source("TR12", "AWC TR12 (2015)", "General Dowel Equations, Technical Report 12", "awc.org", QUOTED),
        Source(
            "ASCE7",
            "ASCE 7-16",
            "Minimum Design Loads, ASCE/SEI 7-16",
            "asce.org",
            "public transcriptions; of weights also of ASCE 7-10",
        ),
        Source("ASCE7-22", "ASCE 7-22", "Minimum Design Loads, ASCE/SEI 7-22", "asce.org", TEST_SET),
        Source(
            "ASCE37",
            "ASCE 37-14",
            "Design Loads on Structures during Construction, ASCE/SEI 37-14",
            "asce.org",
            "a trade article",
        ),
        Source(
            "EN1991",
            "EN 1991-1-4:2005",
            "Actions on structures, wind actions",
            "national standards bodies",
            "public transcriptions",
        ),
        Source(
            "EN1991-6",
            "EN 1991-1-6:2005",
            "Actions during execution",
            "national standards bodies",
            "nothing: in the tests only",
        ),
        Source(
            "EN1995",
            "EN 1995-1-1:2004",
            "Design of timber structures",
            "national standards bodies",
            "textbook pages and public code that quote it",
        ),
        Source(
            "EN1990",
            "EN 1990:2002, Basis of structural design, annex D",
            "European standard",
            "",
            known="memory",
        ),
        Source(
            "EN1313-1",
            "EN 1313-1:2010",
            "Round and sawn timber, preferred sizes of softwood sawn timber",
            "cen.eu",
            known="memory",
        ),
        Source(
            "EN14358",
            "EN 14358:2016",
            "Timber structures, calculation and verification of characteristic values",
            "national standards bodies",
            "papers that quote its clause 3.2.2",
        ),
        Source(
            "D2915",
            "ASTM D2915",
            "Sampling and data-analysis for structural wood; edition not noted",
            "astm.org",
            known="memory",
        ),
        Source(
            "D7147",
            "ASTM D7147",
            "Testing and establishing allowable loads of joist hangers; edition not noted",
            "astm.org",
            known="memory",
        ),
        Source(
            "FPL-093",
            "FPL-093",
            "Nail-withdrawal resistance, Forest Products Laboratory, Research Note FPL-093",
            "fpl.fs.usda.gov, public domain",
            "a public copy",
        ),
        Source(
            "FPL",
            "USDA Wood Handbook",
            "Wood Handbook, Forest Products Laboratory, FPL-GTR-190 (2010), ch. 4 and 8",
            "fpl.fs.usda.gov, public domain",
            TEST_SET,
        ),
        Source(
            "UFC4-023-03",
            "UFC 4-023-03",
            "Design of Buildings to Resist Progressive Collapse, US Department of Defense",
            "wbdg.org, public domain",
            known="memory",
        ),
        Source("IBC", "IBC 2012", "International Building Code, chapter 18", "codes.iccsafe.org"),
        Source(
            "ACI318",
            "ACI 318-19",
            "Building Code Requirements for Structural Concrete, ch. 17",
            "concrete.org",
            TEST_SET,
        ),
        Source("NAVFAC", "NAVFAC DM 7.02", "Foundations and Earth Structures, 1986", "public domain"),
        Source("NAVEDTRA", "NAVEDTRA 14044", "US Navy training manual, Builder", "public domain"),
        Source(
            "B18.2.1",
            "ASME B18.2.1-1996",
            "Square and Hex Bolts and Screws, Inch Series",
            "asme.org",
            "makers' pages that reproduce its table",
        ),
        Source(
            "HUD",
            "HUD Residential Guide",
            "Residential Structural Design Guide (2000), table 3.2",
            "huduser.gov, public domain",
            "a reference page that reproduces the table",
        ),
        Source(
            "APA",
            "APA panel weights",
            "Approximate panel weights by thickness, undated",
            "apawood.org",
            "two web pages that reproduce part of it",
        ),
        Source(
            "PANELS",
            "Herzog and Yeh",
            "Nail Withdrawal and Pull-Through Strength of Structural-Use Panels, 2006",
            "World Conference on Timber Engineering",
            "its summary, on a public page",
        ),
        Source(
            "UTAH",
            "Utah R614-7-4",
            "Utah Administrative Code R614-7-4, raising framed walls",
            "adminrules.utah.gov",
        ),
        Source(
            "OSHA",
            "29 CFR 1926",
            "US construction safety rules, 29 CFR part 1926",
            "ecfr.gov, public domain",
            "public texts that quote it",
        ),
        Source(
            "B30.9", "ASME B30.9", "Slings; edition not noted", "asme.org", "a trade article and trade charts"
        ),
        Source(
            "DURST",
            "ASCE 7 fig. C26.5-1",
            "Durst curve of averaging times",
            "asce.org",
            "a mail list of engineers and the manual of a hurricane testbed",
        ),
        Source(
            "NWS",
            "NWS criterion",
            "US National Weather Service, severe thunderstorm criterion",
            "weather.gov, public domain",
        ),
        Source(
            "NWS-API",
            "NWS API",
            "US National Weather Service, API web service: questions on gridpoints, schema of the hourly forecast",
            "weather-gov.github.io/api and api.weather.gov, public domain",
            "its gridpoint questions and a public copy of its schema",
        ),
        Source(
            "IRC",
            "IRC",
            "International Residential Code, storey height of wood light-frame walls",
            "iccsafe.org",
            "texts that quote it",
        ),
        Source(
            "WMO",
            "WMO Beaufort scale",
            "WMO Manual on Codes, Beaufort equivalents",
            "wmo.int",
            "public weather pages; in the tests only",
        ),
        Source(
            "JCSS",
            "JCSS Probabilistic Model Code",
            "Probabilistic Model Code, parts 2.13 (wind) and 3.5 (timber), Joint Committee on Structural Safety",
            "jcss-lc.org",
            "public copies of both parts",
        ),
        Source(
            "FPL-093",
            "FPL-RN-093",
            "Nail withdrawal and the factor between test and design value, Forest Products Laboratory",
            "fpl.fs.usda.gov, public domain",
        ),
        Source(
            "FPL-128",
            "FPL-RN-128",
            "Nails driven green and drawn dry, Forest Products Laboratory",
            "fpl.fs.usda.gov, public domain",
        ),
        Source(
            "D1990",
            "ASTM D1990",
            "Establishing allowable properties of visually graded lumber from in-grade tests",
            "astm.org",
            known="memory",
        ),
        Source(
            "SHANMUGAM",
            "Shanmugam and others (2009)",
            "Toe-nailed roof joints pulled in houses that stood, 2009",
            "journals",
            "its public summary",
        ),
        Source(
            "BRASSEUR",
            "Brasseur (2001)",
            "A physical approach to the estimate of wind gusts, Monthly Weather Review",
            "journals.ametsoc.org",
            "its public summary",
        ),
        Source(
            "WILSON", "Wilson (1927)", "Interval of a counted share", "any text on statistics", known="memory"
        ),
        Source("STATICS", "statics", "equilibrium, geometry and beam theory; no table", "", known="computed"),
        Source(
            "JUDGEMENT",
            "bracing judgement",
            "engineering judgement, see docs/judgement.md",
            "",
            known="judgement",
        ),
        Source(
            "PRACTICE",
            "common practice, no source",
            "a fact of the trade, unpublished",
            "",
            known="judgement",
        ),
        Source(
            "USER",
            "declared by the user",
            "a value typed by the user, with its report number",
            "the wall file",
        ),
    )
}


@cache
def shipped(name: str) -> dict[str, Any]:
    """Give a table shipped with the package, read once.

    Args:
        name: of the file in `bracing/data`, such as "joints".

    Example:
        >>> shipped("lifting")["sling"]["working_limit_deg"]
        30.0
    """
    return tomllib.loads((files("bracing") / "data" / f"{name}.toml").read_text(encoding="utf-8"))


def shipped_schema(name: str = "wall.json") -> str:
    """Give the text of a schema shipped with the package.

    Args:
        name: its file name; the wall file's unless given.
    """
    return (files("bracing") / "data" / "schemas" / name).read_text(encoding="utf-8")


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
        >>> cite("OSHA", "1926.1408 Table A")
        '29 CFR 1926.1408 Table A'
    """
    if key not in SOURCES:
        table = "sources"
        raise MissingDataError(table, key, SOURCES)
    name = SOURCES[key].name
    title, _, part = name.rpartition(" ")  # of 29 CFR 1926 the clauses begin with the part
    return f"{title if clause.startswith(f'{part}.') else name} {clause}".strip()


def cited(text: str) -> str:
    """Name a source and its clause, from both as a table or a docstring writes them.

    Args:
        text: a key of SOURCES, then the clause; "" of nothing.

    Raises:
        MissingDataError: the text does not begin with a known source.

    Example:
        >>> cited("NDS table L2"), cited("PRACTICE: weigh a box")
        ('NDS 2018 table L2', 'common practice, no source: weigh a box')
    """
    key, mark, clause = re.match(r"([\w.-]*)([:,]?) ?(.*)", text, re.DOTALL).groups()  # type: ignore[union-attr]
    if not text:
        return ""
    return f"{cite(key)}{mark} {clause}".strip() if mark else cite(key, clause)


def known_of(citation: str) -> str:
    """Tell how what a citation is beside is known: one of `KNOWN`.

    Args:
        citation: a key of SOURCES and a clause, "from memory" in it where it was recalled.

    Raises:
        MissingDataError: the citation does not begin with a known source.

    Example:
        >>> known_of("NDS 12.3.1"), known_of("NDS table 12.3.3B (from memory)"), known_of("STATICS")
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
