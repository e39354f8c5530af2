"""Bounded figures and findings as records."""

from math import inf

import pytest

from bomtui.export.records import bounded, finding_record, rounded
from bomtui.model.bound import Range, Value
from bomtui.model.finding import Finding
from bomtui.model.rollup import Figure

ONE, TWO = frozenset(("a",)), frozenset(("a", "b"))


@pytest.mark.parametrize(
    ("typ", "largest", "expected"),
    [
        (1.0, 2.0, (1.0, 2.0, "exact", 0)),
        (0.0, 0.0, (0.0, 0.0, "exact", 0)),
        (Range(1.0, inf, ONE), Range(2.0, inf, TWO), (1.0, 2.0, "at_least", 2)),
        (1.0, Range(2.0, inf, ONE), (1.0, 2.0, "at_least", 1)),
        (Range(0.0, 30.0, ONE), Range(0.0, 20.0, ONE), (30.0, 20.0, "at_most", 1)),
        (25.0, Range(0.0, 20.0, ONE), (25.0, 20.0, "at_most", 1)),
        (Range(3.0, 5.0, ONE), Range(4.0, 6.0, ONE), (3.0, 4.0, "at_least", 1)),
        (Range(0.0, 30.0, ONE), Range(1.0, inf, ONE), (0.0, 1.0, "at_least", 1)),
        (Range(-inf, inf, ONE), 1.0, (None, 1.0, "at_least", 1)),
        (None, None, (None, None, "at_least", 1)),
        (None, Range(0.0, 9.0, ONE), (None, 9.0, "at_most", 2)),
        (1.0, None, (1.0, None, "at_least", 1)),
    ],
)
def test_both_corners_lie_on_one_side(typ: Value, largest: Value, expected: tuple[object, ...]) -> None:
    """A figure with unknown terms gives the ends of one side, and counts what is missing."""
    record = bounded(Figure(typ=typ, max=largest))
    assert (record.typ, record.max, record.bound, record.unknown) == expected


def test_floats_keep_six_digits() -> None:
    """What platforms may differ in is rounded away."""
    assert rounded(0.1 + 0.2) == 0.3
    assert rounded(123456789.0) == 123457000.0


def test_a_range_that_was_measured_keeps_its_bound() -> None:
    """A finding on a bounded figure carries the bound, one on words the words."""
    finding = Finding(
        rule="r", severity="warning", place="p", message="m", remedy="do", measured=Range(2.0, inf, ONE), limit="QM",
        unit="A", outcome="undecided",
    )  # fmt: skip
    record = finding_record(finding)
    assert record.measured == bounded(Figure(typ=Range(2.0, inf, ONE), max=Range(2.0, inf, ONE)))
    assert record.limit == "QM"
