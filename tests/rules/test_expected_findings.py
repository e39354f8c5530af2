"""All that the rules find in the samples is what was worked out by hand, row by row, and nothing besides."""

import csv
from collections import Counter
from pathlib import Path

import pytest

from bomtui.rules.wording import printed
from tests.rules.test_samples import Variant, every_variant, reviewed
from tests.samples.rollups import VARIANTS

EXPECTED = Path(__file__).parents[1] / "expected_findings"
COLUMNS = ("rule", "place", "severity", "outcome", "measured", "limit")
LEAST_REASON = 30
"""Letters below which a source is no reason."""


def expected(variant: Variant) -> list[dict[str, str]]:
    """Rows of the table of one variant."""
    with (EXPECTED / f"{'_'.join(variant)}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


@every_variant
def test_the_findings_are_those_of_the_table(variant: Variant) -> None:
    """Rule, place, severity, outcome and both numbers of every finding stand in the table, and all rows are found."""
    found: Counter[tuple[str, ...]] = Counter(
        (
            own.rule,
            own.place,
            own.severity,
            own.outcome,
            printed(own.measured, own.unit),
            printed(own.limit, own.unit),
        )
        for own in reviewed(variant).findings
    )
    wanted = Counter(tuple(row[column] for column in COLUMNS) for row in expected(variant))
    assert {"not in the table": sorted(found - wanted), "not found": sorted(wanted - found)} == {
        "not in the table": [],
        "not found": [],
    }


@every_variant
def test_every_row_says_where_it_comes_from(variant: Variant) -> None:
    """Each row has a source: a row of the demo list, or a reason."""
    assert [row["place"] for row in expected(variant) if len(row["source"]) < LEAST_REASON] == []


def test_every_sample_has_its_table_and_no_other_has() -> None:
    """There is one table per variant of the samples."""
    assert {path.stem for path in EXPECTED.glob("*.csv")} == {"_".join(variant) for variant in VARIANTS}


@pytest.mark.parametrize("variant", VARIANTS[:4], ids="-".join)
def test_the_demo_list_is_in_the_tables(variant: Variant) -> None:
    """The tables of both demo vehicles rest on the demo list: its rows are named, and none of them is lost."""
    named = Counter(row["rule"] for row in expected(variant) if row["source"].startswith("demo list, "))
    wanted = {"clamp.energy", "filament.life", "rail.missing", "wetting.low"}
    wanted |= {
        "sweeper": {"current.regulation", "freewheel.missing", "grade.zone", "heat.junction", "safety.capability",
                    "standby.module", "supply.dropout", "voltage.dump"},
        "van": {"bus.outside", "parallel.channels", "string.headroom"},
    }[variant[0]]  # fmt: skip
    assert wanted <= set(named)
