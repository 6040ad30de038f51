"""Reference values adjusted for size, moisture, load duration and flat use.

Load duration never touches E, Emin or Fc_perp; temperature and incising are taken as 1.
"""

from __future__ import annotations

from functools import lru_cache

from bracing.codes.joints import MOST_LOAD_DURATION
from bracing.codes.nds.factors import lasting
from bracing.codes.sticks import DesignValues
from bracing.job.lumber import (
    STRENGTHS,
    flat_use_factor,
    grade,
    size_factors,
    size_factors_known,
)
from bracing.job.own import ReferenceValues
from bracing.sources import cited, least, shipped
from bracing.sums import Known, formula
from bracing.units import Psi

_NO_DURATION = ("Fc_perp", "E", "Emin")


@formula
def adjusted_value(F: Psi, CF: float, CM: float, *, CD: float, Cr: float, Cfu: float) -> Psi:
    """Give the design value of lumber, adjusted: F' = F CF CM CD Cr Cfu.

    Args:
        F: reference value [psi].
        CF: size factor [-].
        CM: wet service factor [-].
        CD: load duration factor [-].
        Cr: repetitive member factor [-].
        Cfu: flat use factor [-].

    Returns:
        Adjusted value F' [psi].

    Source: NDS Table 4.3.1.

    Example:
        >>> adjusted_value(1000.0, 1.25, 1.0, CD=1.6, Cr=1.0, Cfu=1.0)
        2000.0
    """
    return F * CF * CM * CD * Cr * Cfu


def wet_service_factors(Fb_CF: Psi, Fc_CF: Psi) -> dict[str, float]:
    """Give the wet-service factors CM, which leave low bending and compression values alone [-].

    Args:
        Fb_CF: reference bending value times its size factor [psi].
        Fc_CF: reference compression value times its size factor [psi].

    Source: NDS-S Table 4A, adjustment factors.

    Example:
        >>> wet_service_factors(1000.0, 1265.0)["Fb"], wet_service_factors(1300.0, 1265.0)["Fb"]
        (1.0, 0.85)
    """
    wet = shipped("lumber")["wet_service"]
    factors = {name: float(wet[name]) for name in STRENGTHS}
    if Fb_CF <= wet["Fb_unreduced_to"]:
        factors["Fb"] = 1.0
    if Fc_CF <= wet["Fc_unreduced_to"]:
        factors["Fc"] = 1.0
    return factors


def adjust(
    reference: ReferenceValues,
    size: str,
    *,
    wet: bool,
    load_duration: float = MOST_LOAD_DURATION,
    repetitive: bool = False,
) -> DesignValues:
    """Adjust reference values for size, moisture, load duration and flat use.

    F' = F CD CM CF (Cr Cfu); E, Emin and Fc_perp take no CD. Temperature and incising are taken as 1.

    Args:
        reference: reference design values.
        size: nominal size.
        wet: moisture content over 19%.
        load_duration: CD; 1.6 is ten minutes, wind [-].
        repetitive: three or more members sharing; never at a braced stud.

    Raises:
        MissingDataError: the grade does not come that wide.

    Source: NDS Table 4.3.1.

    Example:
        >>> spf = grade("SPF", "No.2", "2x6")
        >>> round(adjust(spf, "2x6", wet=False).Fc), round(adjust(spf, "2x6", wet=True).Fc, 1)
        (2024, 1619.2)
    """
    CF = size_factors(reference, size)
    CM = wet_service_factors(reference.Fb * CF["Fb"], reference.Fc * CF["Fc"]) if wet else {}
    what, sized = f"{reference.species} {reference.grade}", size_factors_known(reference, size)

    def value(name: str, *, flat: bool = False) -> Psi:
        lasts = 1.0 if name in _NO_DURATION else load_duration
        return adjusted_value(
            Known(getattr(reference, name), f"{name} of {what}", reference.source, reference.known),
            _factor(CF.get(name, 1.0), f"CF of {size}", reference.rule, sized),
            _factor(CM.get(name, 1.0), "CM, wet", "wet_service"),
            CD=1.0 if lasts == 1.0 else lasting(lasts),
            Cr=_factor(
                shipped("lumber")["repetitive"]["Cr"] if repetitive and name == "Fb" else 1.0,
                "Cr",
                "repetitive",
            ),
            Cfu=_factor(flat_use_factor(size) if flat else 1.0, "Cfu, bent flat", "flat_use"),
        )

    return DesignValues(
        **{name: value(name) for name in STRENGTHS},
        Fb_flat=value("Fb", flat=True),
        G=reference.G,
        source=reference.source,
        known=least(reference.known, sized),
        species=reference.species,
        grade=reference.grade,
    )


def _factor(value: float, words: str, block: str, known: str = "") -> float:
    """A factor with its words, its clause and how its block is known; one that changes nothing is plain."""
    if value == 1.0:
        return 1.0
    table = shipped("lumber")[block]
    return Known(value, words, cited(table["source"]), known or table["known"])


@lru_cache(maxsize=1024)
def design_values(
    species: str,
    grade_name: str,
    size: str,
    *,
    wet: bool,
    load_duration: float = MOST_LOAD_DURATION,
) -> DesignValues:
    """Look up a grade and adjust it; see grade() and adjust().

    Args:
        species: as a person writes it.
        grade_name: as on the grade stamp.
        size: nominal size.
        wet: moisture content over 19%; green lumber is wet.
        load_duration: CD; 1.6 is ten minutes, wind [-].

    Raises:
        MissingDataError: no such species, grade or size.

    Source: NDS Table 4.3.1.

    Example:
        >>> design_values("SPF", "No.2", "2x6", wet=True).Emin
        459000.0
    """
    return adjust(grade(species, grade_name, size), size, wet=wet, load_duration=load_duration)
