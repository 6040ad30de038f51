"""Sawn lumber: dressed sizes, reference design values, and the values adjusted for a use.

Looked up in data/lumber.toml; a user's own lumber comes in beside it with a report number.
"""

from bracing.lumber.adjusted import (
    DesignValues,
    adjust,
    design_values,
    wet_service_factors,
)
from bracing.lumber.grades import (
    ReferenceValues,
    flat_use_factor,
    grade,
    size_factors,
    species_name,
    species_names,
    specific_gravity,
)
from bracing.lumber.own import read_user_lumber
from bracing.lumber.sizes import Section, dressed, nominal, section

__all__ = [
    "DesignValues",
    "ReferenceValues",
    "Section",
    "adjust",
    "design_values",
    "dressed",
    "flat_use_factor",
    "grade",
    "nominal",
    "read_user_lumber",
    "section",
    "size_factors",
    "species_name",
    "species_names",
    "specific_gravity",
    "wet_service_factors",
]
