"""The page that lists every link, and the code that works them out, say the same."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest
from attrs import evolve

from bracing.chain.evaluate import groups_at
from bracing.chain.links import LinkId
from bracing.check import check
from bracing.job.wall import Row
from tests.house.tree import ROOT
from tests.unit.test_trace import NAMES, VARIANTS, braced

ROW = re.compile(r"^\| `([a-z ]+)` \| ([^|]+) \| ([^|]+) \|$", re.MULTILINE)


def rows(text: str) -> dict[str, tuple[str, ...]]:
    """The sources of each link of the page, by its name."""
    return {
        name: tuple(part.strip() for part in sources.split(";")) for name, _, sources in ROW.findall(text)
    }


def faults(text: str, sources: dict[str, set[str]]) -> list[str]:
    """What page and code do not both say."""
    page = rows(text)
    known = {link.forward.value for link in LinkId}
    found = [f"{name}: a link of the code, not on the page" for name in sorted(known - set(page))]
    found += [f"{name}: on the page, no link of the code" for name in sorted(set(page) - known)]
    for name, cited in sources.items():
        found += [
            f"{name}: its source is {source}"
            for source in sorted(cited)
            if name in page and not source.startswith(page[name])
        ]
    return found


def page() -> str:
    return (ROOT / "docs" / "chain.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def sources() -> dict[str, set[str]]:
    """The source of every link of walls that between them have nearly all, as the chain gives it."""
    gable = braced("south-gable")
    jobs = [braced(name) for name in NAMES] + [make() for make, _ in VARIANTS.values()]
    jobs += [
        evolve(gable, wall=evolve(gable.wall, plate=evolve(gable.wall.plate, **{name: value})))
        for name, value in (("strap_at_brace_lb", 500.0), ("sheathing_laps", "rim"))
    ]
    jobs.append(
        evolve(gable, wall=evolve(gable.wall, rows=(Row(height=90.0, kind="strongback", size="2x6"),)))
    )
    found: dict[str, set[str]] = defaultdict(set)
    for job in jobs:
        model = check(job, gust=30.0, effects=False).model
        assert model is not None
        for group in groups_at(model, 30.0)[1]:
            found[group.link.forward.value].add(group.source)
    return dict(found)


def test_every_link_stands_on_the_page_with_the_source_the_chain_gives(sources):
    assert len(sources) >= 26
    assert not faults(page(), sources), "\n".join(faults(page(), sources))


def test_the_rule_sees_a_link_left_out_one_that_is_none_and_another_source(sources):
    first = next(iter(ROW.finditer(page())))
    assert len(faults(page().replace(first[0], ""), {})) == 1
    assert "no link of the code" in faults(page() + "\n| `stud whistling` | tone | NDS 2018 1 |\n", {})[0]
    assert faults(page().replace("NDS 2018 3.4.2", "NDS 2018 3.4.9"), sources) == [
        "stud shear: its source is NDS 2018 3.4.2"
    ]


def test_the_manual_links_to_it():
    assert "(chain.md)" in (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
