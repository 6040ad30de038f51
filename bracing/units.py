"""Quantities with units: what a person writes in, what a person reads out.

Inside the package every quantity is a float in one set of base units, stated here once:
inch, pound-force, psi (pounds per square inch), radian, second; weights per volume in pounds per cubic inch.
Gusts alone are carried in mph, since every rule people act on is stated in mph.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from numbers import Real

from bracing.choosing import whole_down, whole_up
from bracing.errors import InputError

Inch = float
Pound = float
Psi = float
Radian = float
Mph = float
InchPound = float
PoundPerInch = float
Second = float

INCHES_PER_FOOT = 12.0
MM_PER_INCH = 25.4
SIXTEENTHS = 16  # a tape is marked in
INCHES_PER_METRE = 1.0 / 0.0254
POUNDS_PER_NEWTON = 1.0 / 4.4482216152605
MPH_PER_METRE_PER_SECOND = 3600.0 / 1609.344
MPH_PER_KNOT = 1852.0 / 1609.344
MPH_PER_KILOMETRE_PER_HOUR = 1000.0 / 1609.344
PSF_PER_PSI = 144.0

_LENGTH = {
    "ft": 12.0, "foot": 12.0, "feet": 12.0, "'": 12.0,
    "in": 1.0, "inch": 1.0, "inches": 1.0, '"': 1.0, "''": 1.0,
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), INCHES_PER_METRE),
    "cm": INCHES_PER_METRE / 100.0, "mm": INCHES_PER_METRE / 1000.0,
}  # fmt: skip
_SPEED = {
    "mph": 1.0, "m/s": MPH_PER_METRE_PER_SECOND, "kt": MPH_PER_KNOT, "kts": MPH_PER_KNOT,
    "knots": MPH_PER_KNOT, "km/h": MPH_PER_KILOMETRE_PER_HOUR, "kph": MPH_PER_KILOMETRE_PER_HOUR,
}  # fmt: skip
_FORCE = {"lb": 1.0, "lbs": 1.0, "lbf": 1.0, "n": POUNDS_PER_NEWTON, "kn": 1000.0 * POUNDS_PER_NEWTON,
          "kg": 9.80665 * POUNDS_PER_NEWTON, "kgf": 9.80665 * POUNDS_PER_NEWTON}  # fmt: skip
_PRESSURE = {"psf": 1.0 / PSF_PER_PSI, "psi": 1.0, "pa": POUNDS_PER_NEWTON / INCHES_PER_METRE**2,
             "kpa": 1000.0 * POUNDS_PER_NEWTON / INCHES_PER_METRE**2}  # fmt: skip
_TIME = {"s": 1.0, "min": 60.0, "h": 3600.0, "hour": 3600.0, "hours": 3600.0, "day": 86400.0, "days": 86400.0,
         "week": 604800.0, "weeks": 604800.0, "month": 2629800.0, "months": 2629800.0,
         "year": 31557600.0, "years": 31557600.0}  # fmt: skip
_ANGLE = {"deg": math.pi / 180.0, "degrees": math.pi / 180.0, "°": math.pi / 180.0, "rad": 1.0}

MOST_LETTERS = 40  # of a quantity
_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_MIXED = re.compile(rf"^(?:(?P<whole>{_NUMBER})(?:[ -](?P<part>[0-9]+/[0-9]+))?|(?P<alone>[0-9]+/[0-9]+))$")
_INCH = r"(?:in\.?|inch|inches|\"|'')"
_FEET_INCHES = re.compile(  # 36'-4 1/2", 10 foot 1 1/8: beside feet a number is inches
    rf"^(?P<feet>{_NUMBER})\s*(?:ft\.?|feet|foot|')\s*-?\s*(?P<inches>[0-9./ -]*?[0-9])\s*{_INCH}?$"
)
_DASHED = re.compile(
    r"^(?P<feet>[0-9]{1,3})-(?P<inches>[0-9]{1,2}(?:[ -][0-9]+/[0-9]+|\.[0-9]+)?)\"?$"
)  # 18-0 1/2
_MARKED = re.compile(
    r"^(?:[0-9]{1,3}[ -])?[0-9]{1,2}/(?:2|4|8|16|32)$"
)  # 7 1/2: the tape has such marks between inches
_ONE_UNIT = re.compile(r"^(?P<number>[0-9./ -]*?[0-9.])\s*-?(?P<unit>[a-z'\"°/]+)\.?$")
_MARKS = str.maketrans(
    {
        "’": "'",
        "′": "'",
        "″": '"',
        "”": '"',
        "×": "x",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
    }
)
ON_CENTRE = re.compile(r"[ ,]*(?:o\.? ?c\.?|on cent(?:er|re)s?|cent(?:er|re)s)$")
_LENGTH_WORDS = 'a length with its unit, such as "36 ft", "36\'-4 1/2\\"" or "11.1 m"'


def clean(text: str) -> str:
    """Write what somebody typed with small letters, single spaces, plain marks and plain fractions.

    Args:
        text: as typed.

    Example:
        >>> clean(" 7½″  o.c. ")
        '7 1/2" o.c.'
    """
    return " ".join(text.lower().translate(_MARKS).split())


def _mixed(text: str) -> float:
    """Turn "4 1/2", "4-1/2", "1/2" or "4.5" into a float; ValueError where it is none of these."""
    match = _MIXED.match(text.strip())
    if match is None:
        raise ValueError(text)
    if match["alone"]:
        return float(Fraction(match["alone"]))
    return float(match["whole"]) + (float(Fraction(match["part"])) if match["part"] else 0.0)


def _quantity(text: object, units: dict[str, float], *, field: str, expected: str) -> float:
    if not isinstance(text, str):
        raise InputError.of(field, text, expected + " (a bare number has no unit)")
    match = _ONE_UNIT.match(clean(text)) if len(text) <= MOST_LETTERS else None
    if match is None or match["unit"] not in units:
        raise InputError.of(field, text, expected)
    try:
        value = _mixed(match["number"]) * units[match["unit"]]
    except (ValueError, ZeroDivisionError):
        raise InputError.of(field, text, expected) from None
    if not math.isfinite(value):
        raise InputError.of(field, text, expected)
    return value


def length(text: object, *, field: str = "length") -> Inch:
    """Read a length as a person writes it.

    Args:
        text: feet, inches and fractions, decimal feet, or metric. 18-0 1/2 is feet and inches as a plan writes
            them, and a number with a fraction of a tape, 7 1/2, is inches.
        field: the field named in a fault.

    Returns:
        The length [in].

    Raises:
        InputError: a bare number, an unknown unit, or not a length at all.

    Example:
        >>> length("36'-4.5 in"), length("18ft6in"), round(length("11.1 m"), 2)
        (436.5, 222.0, 437.01)
        >>> length("8-0"), length("10 foot 1 1/8"), length("7 1/2"), length("16 oc")
        (96.0, 121.125, 7.5, 16.0)
    """
    if isinstance(text, str) and len(text) <= MOST_LETTERS:
        typed = clean(text)
        spacing = ON_CENTRE.sub("", typed)
        if spacing != typed:  # 16 oc
            text = typed = f"{spacing} in" if re.fullmatch(_NUMBER, spacing) else spacing
        if _MARKED.match(typed):
            return _mixed(typed)
        match = _FEET_INCHES.match(typed) or _DASHED.match(typed)
        if match is not None:
            try:
                inches = _mixed(match["inches"])
            except (ValueError, ZeroDivisionError):
                raise InputError.of(field, text, _LENGTH_WORDS) from None
            if inches < INCHES_PER_FOOT or float(match["feet"]) == 0.0:
                return float(match["feet"]) * INCHES_PER_FOOT + inches
            raise InputError.of(field, text, "inches under 12 beside feet")
    return _quantity(text, _LENGTH, field=field, expected=_LENGTH_WORDS)


def speed(text: object, *, field: str = "gust") -> Mph:
    """Read a wind speed; a bare number is mph.

    Args:
        text: "58 mph", "26 m/s", "40 kt", "93 km/h", or a bare number.
        field: the field named in a fault.

    Returns:
        The speed [mph].

    Raises:
        InputError: not a speed.

    Example:
        >>> round(speed("26 m/s"), 1)
        58.2
    """
    expected = 'a speed, such as "45", "58 mph", "26 m/s", "40 kt" or "93 km/h"'
    number = finite_number(text)
    if number is not None and number >= 0.0:
        return number
    if isinstance(text, int | float):
        raise InputError.of(field, text, expected)
    if isinstance(text, str) and re.fullmatch(_NUMBER, text.strip()) and len(text) <= MOST_LETTERS:
        return float(text.strip())
    return _quantity(text, _SPEED, field=field, expected=expected)


def force(text: object, *, field: str = "force") -> Pound:
    """Read a force or a weight.

    Args:
        text: "700 lb", "3.1 kN", "320 kg".
        field: the field named in a fault.

    Returns:
        The force [lb].

    Raises:
        InputError: not a force with its unit.

    Example:
        >>> force("700 lb")
        700.0
    """
    return _quantity(
        text, _FORCE, field=field, expected='a force with its unit, such as "700 lb" or "3.1 kN"'
    )


def pressure(text: object, *, field: str = "pressure") -> Psi:
    """Read a pressure or a weight per area.

    Args:
        text: "2.4 psf", "0.1 kPa".
        field: the field named in a fault.

    Returns:
        The pressure [psi].

    Raises:
        InputError: not a pressure with its unit.

    Example:
        >>> round(pressure("144 psf"), 6)
        1.0
    """
    return _quantity(
        text, _PRESSURE, field=field, expected='a weight per area, such as "2.4 psf" or "0.1 kPa"'
    )


def duration(text: object, *, field: str = "time") -> Second:
    """Read a length of time.

    Args:
        text: "3 weeks", "2h", "90 min".
        field: the field named in a fault.

    Returns:
        The time [s].

    Raises:
        InputError: not a time with its unit.

    Example:
        >>> duration("2h")
        7200.0
    """
    return _quantity(text, _TIME, field=field, expected='a time with its unit, such as "3 weeks" or "2 h"')


def angle(text: object, *, field: str = "angle") -> Radian:
    """Read an angle; a bare number is degrees from the floor.

    Args:
        text: "45", "45 deg".
        field: the field named in a fault.

    Returns:
        The angle [rad].

    Raises:
        InputError: not an angle.

    Example:
        >>> round(angle("45 deg"), 4)
        0.7854
    """
    bare = isinstance(text, str) and len(text) <= MOST_LETTERS and re.fullmatch(_NUMBER, text.strip())
    if bare or (isinstance(text, int | float) and not isinstance(text, bool)):
        value = float(text)  # type: ignore[arg-type]  # a str that is a number, or a number
        if math.isfinite(value):
            return math.radians(value)
    return _quantity(text, _ANGLE, field=field, expected='an angle from the floor, such as "45 deg"')


_PITCH = re.compile(rf"({_NUMBER})\s*(?:/|:|in|on|over)\s*12(?:\s*pitch)?")


def pitch(text: object, *, field: str = "pitch") -> float:
    """Read the pitch of a roof.

    Args:
        text: inches up for 12 along, "6/12", "6:12" or "6 in 12".
        field: the field named in a fault.

    Returns:
        Rise over run [-].

    Raises:
        InputError: not a pitch.

    Example:
        >>> pitch("6:12"), pitch("9 in 12 pitch")
        (0.5, 0.75)
    """
    found = _PITCH.fullmatch(clean(text)) if isinstance(text, str) and len(text) <= MOST_LETTERS else None
    if found is None:
        raise InputError.of(field, text, 'a pitch, up for 12 along, such as "6/12"')
    return float(found[1]) / INCHES_PER_FOOT


def finite_number(value: object) -> float | None:
    """Give a finite number as a float; None for anything else, and for true and false.

    Args:
        value: anything.

    Example:
        >>> finite_number(3), finite_number(float("nan")), finite_number(True), finite_number("3")
        (3.0, None, None, None)
    """
    if type(value) is float:  # nearly always, and an abstract class is slow to ask
        return value if math.isfinite(value) else None
    if not isinstance(value, Real) or isinstance(value, bool):
        return None
    try:
        number = float(value)
    except (OverflowError, ValueError):
        return None
    return number if math.isfinite(number) else None


def feet(inches: Inch) -> float:
    """Turn inches [in] into decimal feet [ft].

    Example:
        >>> feet(30.0)
        2.5
    """
    return inches / INCHES_PER_FOOT


def length_text(inches: Inch) -> str:
    """Write a length so that reading it gives the same float: feet, inches and sixteenths, or decimal inches.

    Args:
        inches: the length [in]; not negative.

    Example:
        >>> length_text(171.5), length_text(216.0), length_text(6.5), length_text(170.0787)
        ('14 ft 3 1/2 in', '18 ft', '6 1/2 in', '170.0787 in')
    """
    if inches < 0.0:
        return f"{Decimal(repr(inches)):f} in"
    whole_feet, rest = divmod(Fraction(inches), int(INCHES_PER_FOOT))
    if (rest * SIXTEENTHS).denominator != 1:
        return f"{Decimal(repr(inches)):f} in"
    whole, part = divmod(rest, 1)
    in_inches = " ".join(str(piece) for piece in (whole, part) if piece)
    pieces = [f"{whole_feet} ft"] if whole_feet else []
    pieces += [f"{in_inches} in"] if in_inches else []
    return " ".join(pieces) or "0 in"


def tape(inches: Inch, *, sixteenths: int = 16, metric: bool = False) -> str:
    """Write a length as a tape reads it, rounded **down** to the nearest mark.

    Args:
        inches: the length [in].
        sixteenths: marks to the inch.
        metric: millimetres instead.

    Example:
        >>> print(tape(171.53), "or", tape(171.53, metric=True))
        14'-3 1/2" or 4356 mm
    """
    if metric:
        return f"{whole_down(inches * MM_PER_INCH)} mm"
    sign = "-" if inches < -1e-9 else ""
    marks = whole_down(abs(inches) * sixteenths)
    whole, rest = divmod(marks, sixteenths)
    whole_feet, whole_inches = divmod(whole, 12)
    part = f" {Fraction(rest, sixteenths)}" if rest else ""
    return f"{sign}{whole_feet}'-{whole_inches}{part}\""


def pounds(force_lb: Pound, *, metric: bool = False) -> str:
    """Write a force demand, rounded **up** to the next whole pound or 0.01 kN.

    Args:
        force_lb: the force [lb].
        metric: kilonewtons instead.

    Example:
        >>> pounds(411.2)
        '412 lb'
    """
    if metric:
        return f"{whole_up(force_lb / POUNDS_PER_NEWTON / 10.0) / 100.0:.2f} kN"
    return f"{whole_up(force_lb)} lb"


def strength(load: Pound, *, metric: bool = False) -> str:
    """Write what something may carry, rounded **down** to the whole pound or 0.01 kN.

    Args:
        load: the force [lb].
        metric: kilonewtons instead.

    Example:
        >>> strength(411.9), strength(411.9, metric=True)
        ('411 lb', '1.83 kN')
    """
    return f"{down(load / POUNDS_PER_NEWTON / 1000.0, 2)} kN" if metric else f"{down(load)} lb"


def small(inches: Inch, *, metric: bool = False) -> str:
    """Write how far something is, either way, to the nearest sixteenth or millimetre.

    Args:
        inches: the length [in].
        metric: millimetres instead.

    Example:
        >>> print(small(0.38), small(-1.5), small(0.5, metric=True))
        3/8" 1 1/2" 13 mm
    """
    if metric:
        return f"{abs(inches) * MM_PER_INCH:.0f} mm"
    whole, rest = divmod(round(abs(inches) * 16), 16)
    part = f"{Fraction(rest, 16)}" if rest else ""
    return f"{whole} {part}".strip() + '"' if whole else f'{part or 0}"'


def sag(inches: Inch, *, metric: bool = False) -> str:
    """Write a small movement, rounded **up** to the tenth of an inch or the millimetre.

    Args:
        inches: the movement [in].
        metric: millimetres instead.

    Example:
        >>> sag(0.51), sag(0.51, metric=True)
        ('0.6 in', '13 mm')
    """
    return f"{up(inches * MM_PER_INCH)} mm" if metric else f"{up(inches, 1)} in"


def slope(lean: float, *, metric: bool = False) -> str:
    """Write how far out of plumb something leans.

    Args:
        lean: level over plumb [-].
        metric: millimetres a metre instead.

    Example:
        >>> slope(0.01), slope(0.01, metric=True)
        ('0.120 in per ft', '10.0 mm per m')
    """
    return f"{lean * 1000.0:.1f} mm per m" if metric else f"{lean * 12.0:.3f} in per ft"


def mass(weight_lb: Pound, *, metric: bool = False) -> str:
    """Write a weight as a scale shows it, rounded **up** to the next whole pound or kilogram.

    Args:
        weight_lb: the weight [lb].
        metric: kilograms instead.

    Example:
        >>> mass(1411.2), mass(100.0, metric=True)
        ('1,412 lb', '46 kg')
    """
    return f"{whole_up(weight_lb / _FORCE['kg']):,} kg" if metric else f"{whole_up(weight_lb):,} lb"


def gust(speed_mph: Mph, *, metric: bool = False) -> str:
    """Write a gust, rounded **down** to the whole mph, or to 0.1 m/s.

    Args:
        speed_mph: the gust [mph].
        metric: metres per second instead.

    Example:
        >>> gust(41.97)
        '41 mph'
    """
    if metric:
        return f"{whole_down(speed_mph / MPH_PER_METRE_PER_SECOND * 10.0) / 10.0:.1f} m/s"
    return f"{whole_down(speed_mph)} mph"


def asked_gust(speed_mph: Mph, *, metric: bool = False) -> str:
    """Write a gust somebody asked for, as asked; where it takes more digits, rounded **up**.

    Args:
        speed_mph: the gust [mph].
        metric: metres per second instead.

    Example:
        >>> asked_gust(25.0), asked_gust(30.61)
        ('25 mph', '30.7 mph')
    """
    if metric:
        return f"{up(speed_mph / MPH_PER_METRE_PER_SECOND, 1)} m/s"
    return up(speed_mph, 1).removesuffix(".0") + " mph"


def up(value: float, digits: int = 0) -> str:
    """Write a demand, a stress or a share that must not be too great, rounded **up**.

    Args:
        value: in any unit.
        digits: after the point.

    Example:
        >>> up(1.001, 2), up(411.2), up(30.0)
        ('1.01', '412', '30')
    """
    scale = 10**digits
    return f"{whole_up(value * scale) / scale:.{digits}f}"


def down(value: float, digits: int = 0) -> str:
    """Write a strength, a capacity or anything else that must not be read too high, rounded **down**.

    Args:
        value: in any unit.
        digits: after the point.

    Example:
        >>> down(167.9), down(2.439, 1)
        ('167', '2.4')
    """
    scale = 10**digits
    return f"{whole_down(value * scale) / scale:.{digits}f}"


def as_filed(value: object, kind: str) -> object:
    """Write a value in base units as a file takes it: a length or a force with its unit.

    Args:
        value: the value.
        kind: of its field.
    """
    if kind == "point" and isinstance(value, tuple):
        return [length_text(part) for part in value]
    if isinstance(value, float | int) and kind in ("length", "force"):
        return length_text(value) if kind == "length" else f"{value:g} lb"
    return value
