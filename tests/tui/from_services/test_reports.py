"""Comparisons and cost over volume as the screens get them: whole lines, places that exist, refusals in words."""

from decimal import Decimal
from functools import cache

import pytest

from bomtui.services.open import open_proposal
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.tui.from_services.reporting import comparison, over_volume
from bomtui.tui.report import Refused, Report
from tests.samples.rollups import sample_path


@cache
def _reviewed(variant: str) -> Reviewed | None:
    opened = open_proposal(sample_path("sweeper"))
    return review(compute(opened, variant)) if variant in opened.snapshot.proposal.variants else None


@cache
def _compared() -> Report:
    found = comparison(_reviewed, "distributed", "zone", "")
    assert isinstance(found, Report)
    return found


@cache
def _volumes() -> Report:
    found = over_volume(_reviewed, ("zone", "distributed"), (750,))
    assert isinstance(found, Report)
    return found


@pytest.mark.parametrize("report", [_compared, _volumes])
def test_every_line_is_whole(report: object) -> None:
    """Keys are unique, cells do not outnumber columns, lines inside follow the one they are in, marks have words."""
    for page in report().pages:  # type: ignore[operator]
        keys = [line.key for line in page.lines]
        assert len(keys) == len(set(keys)), page.title
        depth = 0
        for line in page.lines:
            assert len(line.cells) <= len(page.columns)
            assert line.depth <= depth + 1
            assert not line.mark or line.word
            depth = line.depth


def test_places_of_parts_exist() -> None:
    """Where a line leads to is a device, item, load or subsystem of its variant."""
    reviewed = _reviewed("zone")
    assert reviewed is not None
    proposal = reviewed.computed.opened.snapshot.proposal
    lines = [line for page in _compared().pages for line in page.lines if line.address]
    assert len(lines) > 30
    for line in lines:
        modules = proposal.variants[line.variant].modules
        module, _, inside = line.address.partition(".")
        if inside.startswith("item "):
            assert inside.removeprefix("item ") in modules[module].items
        elif inside:
            assert inside in modules[module].devices
        else:
            assert line.address in proposal.subsystems


def test_the_waterfall_leads_from_one_cost_to_the_other() -> None:
    """Cost of the first, each cause, cost of the second; the printed steps add up."""
    lines = {line.key: line for line in _compared().pages[0].lines}
    assert (lines["first"].cells[1], lines["second"].cells[1]) == ("761.7432", "641.1634")
    steps = [line.cells[1] for key, line in lines.items() if key.startswith("cause ") and line.depth == 1]
    assert steps == ["-125.7317", "+5.1519"]
    for cause, step in zip(("architecture", "rung"), steps, strict=True):
        inside = [line.cells[1] for key, line in lines.items() if key.startswith(f"cause {cause} ")]
        assert sum(map(Decimal, inside)) == Decimal(step)


def test_what_cannot_be_shown_is_refused_in_words(tmp_path: object) -> None:
    """A variant that is gone and a file that is not there leave a sentence, never a report of something else."""
    for found in (
        comparison(_reviewed, "nowhere", "zone", ""),
        comparison(_reviewed, "zone", "zone", f"{tmp_path}/none.toml"),
        over_volume(_reviewed, ("nowhere",), ()),
        over_volume(_reviewed, ("zone",), (0,)),
    ):
        assert isinstance(found, Refused)
        assert found.sentence.endswith(".")


def test_another_file_is_the_first_side() -> None:
    """With a path the first side is the variant of the same id in that file."""
    found = comparison(_reviewed, "zone", "zone", str(sample_path("sweeper")))
    assert isinstance(found, Report)
    assert any("both cost the same" in sentence for _, sentence in found.sentences)
