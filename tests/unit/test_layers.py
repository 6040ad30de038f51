"""Layers are found by the names people write, weighed from their source, and never guessed."""

from __future__ import annotations

import pytest

from bracing.errors import InputError, MissingDataError
from bracing.job.layers import fills_openings, layer, layer_names, materials


def psf(name: str) -> float:
    return layer(name).weight * 144.0


@pytest.mark.parametrize(
    "name", ["osb 7/16", "OSB 7/16", "7/16 osb", '7/16" osb', "osb 7/16 in", "osb 11 mm"]
)
def test_one_panel_by_the_ways_it_is_written(name):
    found = layer(name)
    assert (found.panel, found.thickness) == (True, 0.4375)
    assert found.weight * 144.0 == pytest.approx(1.4, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "known"),
    [("osbb 7/16", "osb 7/16"), ("hosewrap", "housewrap"), ("fiber cemet siding", "fiber cement siding")],
)
def test_a_misspelt_layer_is_refused_with_the_near_name(name, known):
    with pytest.raises(MissingDataError) as caught:
        layer(name)
    assert known in caught.value.near


@pytest.mark.parametrize("name", ["", "osb", "osb 9/16", "plywood 3/0", "2.4", "psf", "gypsum"])
def test_no_thickness_or_no_such_thickness_is_refused(name):
    with pytest.raises(MissingDataError):
        layer(name)


def test_a_user_weight_overrides_the_table_and_says_whose_it_is():
    assert psf("osb 7/16 1.6 psf") == pytest.approx(1.6, abs=1e-9)
    assert layer("osb 7/16 1.6 psf").panel
    mine = layer("my panel 2.4 psf")
    assert mine.weight * 144.0 == pytest.approx(2.4, abs=1e-9)
    assert not mine.panel
    assert mine.source.startswith("declared by the user")


@pytest.mark.parametrize("name", ["lead 0 psf", "lead 900 psf", "lead 1.2.3 psf"])
def test_user_weights_out_of_range_are_refused(name):
    with pytest.raises(InputError):
        layer(name)


def test_windows_fill_openings_and_nothing_else_does():
    assert fills_openings("windows")
    assert fills_openings("windows 10 psf")
    assert not any(fills_openings(name) for name in layer_names() if "window" not in name)


def test_every_name_the_table_offers_can_be_read_back():
    for name in layer_names():
        assert layer(name).weight > 0.0
        assert layer(name).source


def test_no_name_stands_for_two_materials():
    names = [name for material in materials() for name in material.names]
    assert len(names) == len(set(names))
