"""Rules of work sites that carry a wind speed, a distance or a count (OSHA, state rules, masonry practice).

Only the clear zone is computed from one of them; the others are kept here with the reason they are not.
"""

import pytest

from bracing.codes.gusts import clear_out_gust, clear_zone
from tests.published.rows import rows, split

OTHER_TRADE = "a rule for another trade's walls, named in the docs for comparison; no number of ours uses it"
NOT_WIND = "a rule about raising or placing, not about wind; no wind function uses it"
NOT_COMPUTED = {
    "CAL-1715-V": OTHER_TRADE,
    "TILT-70": OTHER_TRADE,
    "WAC-691-FS": OTHER_TRADE,
    "WAC-691-angle-min": OTHER_TRADE,
    "WAC-691-angle-max": OTHER_TRADE,
    "MAS-init": OTHER_TRADE,
    "MAS-inter": "masonry braces for 40 mph and evacuates at 35: compared with ours below, not used",
    "OSHA-706b": OTHER_TRADE,
    "MAS-braces": NOT_WIND,
    "MAS-brace-pos": NOT_WIND,
    "OSHA-highwind": "a definition for power-line work",
    "OSHA-highwind-mat": "a definition for power-line work",
    "OSHA-1431-wind": "a rule for hoisting people",
    "UTAH-10": NOT_WIND,
    "UTAH-18": NOT_WIND,
}
ROWS = split("site_rules", NOT_COMPUTED)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_depth_of_the_clear_zone(row):
    height = row.number("wall_height_ft") * 12.0 if row.inputs else 0.0
    assert clear_zone(height) / 12.0 == pytest.approx(row.value, abs=row.tolerance)


def test_we_send_people_out_no_later_than_masonry_does():
    (masonry,) = [row for row in rows("site_rules") if row.id == "MAS-inter"]
    assert clear_out_gust(40.0, 40.0) <= masonry.value
