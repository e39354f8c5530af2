"""`bomtui volumes`: cost over vehicles a year and over the years."""

from decimal import Decimal
from itertools import pairwise

import jsonschema
import msgspec

from bomtui.export.schema import published_schema
from tests.cli.running import SWEEPER, VAN, Command


def test_the_sweeper_over_volume(bomtui: Command) -> None:
    """At its own 600 vehicles both variants cost what the rollup says; a larger volume costs less but for stock."""
    result = bomtui(
        "volumes", SWEEPER, "--variant", "distributed", "--with", "zone", "--at", "601,250", "--format", "json"
    )
    found = result.json
    jsonschema.validate(found, msgspec.json.decode(published_schema("volumes")))
    rows = found["volumes"]
    assert {250, 600, 601} <= {row["volume"] for row in rows}
    (own,) = [row for row in rows if row["own"]]
    assert [side["cost"]["amount"] for side in own["variants"]] == ["761.7432", "641.1634"]
    assert own["difference"] == "-120.5798"
    for before, after in pairwise(rows):
        for side, former in zip(after["variants"], before["variants"], strict=True):
            assert Decimal(side["cost"]["amount"]) <= Decimal(former["cost"]["amount"])
            whole, other = (
                Decimal(one["cost"]["amount"]) + Decimal(one["left_over"]["amount"]) for one in (side, former)
            )
            assert whole <= other + Decimal("0.0001") or side["dearer_stock"]


def test_stock_is_carried_over_the_years(bomtui: Command) -> None:
    """After eight years 36,113 EUR are left of the zone variant, 7.52 per vehicle; 58,062.12 after the first."""
    (side,) = bomtui("volumes", SWEEPER, "--variant", "zone", "--format", "json").json["sides"]
    stocks = [year["stock"]["amount"] for year in side["lifetime"]["years"]]
    assert (stocks[0], stocks[-1]) == ("58062.1160", "36113.0040")
    assert side["lifetime"]["vehicles"] == 4800
    assert side["lifetime"]["mean_price"] == "641.1634"


def test_text_fits_eighty_columns(bomtui: Command) -> None:
    """Two variants keep to the width, and it is said what no present value and no learning rest on."""
    lines = bomtui("volumes", VAN, "--variant", "central", "--with", "distributed").out.splitlines()
    assert max(map(len, lines)) <= 80
    assert sum("no present value: no interest is given" in line for line in lines) == 2
    assert any("price-down 0 % a year on the quoted price" in line for line in lines)


def test_wrong_volumes_are_refused(bomtui: Command) -> None:
    """Nothing, words and negative numbers are no volumes."""
    for wrong in ("0", "-5", "many", "100,1.5"):
        assert bomtui("volumes", SWEEPER, f"--at={wrong}").code == 2
