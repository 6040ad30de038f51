"""Load charts under the headings charts have."""

import pytest

from bracing.errors import InputError
from bracing.reading.charts import chart_from_text
from tests.approx import printed

PLAIN = "reach_ft,capacity_lb\n10,6000\n20,2500\n"


@pytest.mark.parametrize(
    "text",
    [
        "Radius (ft),Capacity (lbs)\n10,6000\n20,2500\n",
        'Load radius (ft.),Boom angle (deg),Rated capacity (lb)\n10,72,"6,000"\n20,61,"2,500"\n',
        "radius ft,boom angle,capacity lbs\n10,72,6,000\n20,61,2,500\n",
        "Operating Radius [feet]\tMax Load [pounds]\n10\t6,000\n20\t2,500\n",
        "Radius   Boom length   Capacity\n10 ft    38 ft         6,000 lb\n20 ft    38 ft         2,500 lb\n",
        "| Horizontal reach (ft) | Lift capacity (lb) |\n| 10 | 6,000 |\n| 20 | 2,500 |\n",
    ],
)
def test_usual_headings_are_the_same_chart(text):
    plain, found = chart_from_text(PLAIN), chart_from_text(text)
    assert [(row.reach, row.height, row.capacity) for row in found.rows] == [
        (row.reach, row.height, row.capacity) for row in plain.rows
    ]


def test_metric_headings_and_heights():
    row = chart_from_text(
        "radius (m);lift height (m);capacity (kg)\n3,5;6;1000\n".replace("3,5", "3.5")
    ).rows[0]
    assert row.reach == printed("137.80")
    assert row.height == printed("236.22")
    assert row.capacity == printed("2204.6")


@pytest.mark.parametrize(
    ("text", "field", "expected"),
    [
        ("radius,capacity (lb)\n10,6000\n", "line 1", "its unit, ft or m"),
        ("radius (ft),capacity (tons)\n10,6\n", "line 1", "units ft, m, lb or kg"),
        (
            "radius (ft),boom length (ft),capacity (lb)\n10,38,6000\n20,52,2500\n",
            "line 3, boom length",
            "of one boom length",
        ),
        ("radius (ft),reach (ft),capacity (lb)\n1,2,3\n", "line 1", "one column of reach"),
        ("radius (ft),capacity (lb)\n10,6,00\n", "line 2", "2 cells"),
        ("radius (ft),capacity (lb)\n10 m,6000\n", "line 2, reach", "a number"),
        ("radius (ft),capasity (lb)\n10,6000\n", "line 1", "near: capacity"),
    ],
)
def test_what_a_chart_leaves_open_is_one_line(text, field, expected):
    with pytest.raises(InputError) as caught:
        chart_from_text(text)
    (fault,) = caught.value.faults
    assert fault.field == field
    assert expected in fault.expected
