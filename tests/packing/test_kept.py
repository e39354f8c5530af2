"""A finding that something has already may stay, but never worse."""

import pytest
from msgspec.structs import replace

from bomtui.edit.edits.field import SetField
from bomtui.model.finding import Finding
from bomtui.packing.check import Checked, checked
from bomtui.packing.kept import is_worse
from tests.packing.sample_offers import computed, reviewed

ABOVE = Finding(
    rule="current.channel",
    severity="warning",
    place="L1",
    message="L1 draws too much",
    remedy="",
    measured=6.0,
    limit=5.0,
    unit="A",
    outcome="failed",
    status="open",
    need=None,
)
BELOW = replace(ABOVE, measured=5.0, limit=6.0)


@pytest.mark.parametrize(
    ("now", "then", "expected"),
    [
        (ABOVE, ABOVE, False),
        (replace(ABOVE, measured=6.1), ABOVE, True),
        (replace(ABOVE, measured=5.5), ABOVE, False),
        (replace(ABOVE, limit=4.0), ABOVE, True),
        (replace(BELOW, measured=4.0), BELOW, True),
        (replace(BELOW, measured=5.5), BELOW, False),
        (replace(ABOVE, severity="error"), ABOVE, True),
        (ABOVE, replace(ABOVE, severity="error"), False),
        (replace(ABOVE, measured="QM", limit="B"), replace(ABOVE, measured="A", limit="B"), True),
        (replace(ABOVE, measured="A", limit="B"), replace(ABOVE, measured="A", limit="B"), False),
        (replace(ABOVE, measured=0.0), replace(ABOVE, measured=1.0), True),
    ],
)
def test_worse_is_graver_or_further_beyond_the_limit(now: Finding, then: Finding, *, expected: bool) -> None:
    """Above a largest value and below a smallest one alike; words that differ cannot be compared."""
    assert is_worse(now, then) is expected


@pytest.mark.parametrize(("inductance_h", "expected"), [(0.5, {"E05"}), (0.001, set())])
def test_the_judge_names_a_load_whose_finding_is_worse(inductance_h: float, expected: set[str]) -> None:
    """A coil that its switch does not stand already, with more of it to turn off, speaks against a step."""
    edit = SetField(place="loads.E05.inductance", value=inductance_h)
    found = checked(computed("sweeper", "zone"), reviewed("sweeper", "zone"), edit, "errors")
    assert isinstance(found, Checked)
    assert {own.place for own in found.against if own.rule == "clamp.energy"} == expected
