"""`bomtui rollup` and `bomtui parts-list` of a vehicle of which a module is not in every one."""

import csv
import io
import json
import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from tests.cli.running import SWEEPER, Command

MODULE = "[variants.zone.modules.ZREA]"


@pytest.fixture
def partly(tmp_path: Path) -> Path:
    """The sweeper with its rear module in 40 % of the vehicles."""
    for path in Path(SWEEPER).iterdir():
        if path.suffix == ".toml":
            shutil.copy(path, tmp_path / path.name)
    (proposal,) = [path for path in tmp_path.iterdir() if not path.name.endswith(".parts.toml")]
    text = proposal.read_text(encoding="utf-8")
    assert text.count(f"{MODULE}\n") == 1
    proposal.write_text(text.replace(f"{MODULE}\n", f'{MODULE}\nfitment = "40 %"\n'), encoding="utf-8")
    return proposal


@pytest.mark.slow
def test_the_rollup_prints_lean_average_and_full(bomtui: Command, partly: Path) -> None:
    """Text and JSON give three costs, the average one being the total; a vehicle without fitments prints one."""
    found = bomtui("rollup", partly, "--variant", "zone", "--format", "json").json["totals"]
    lean, average, full = (Decimal(found["cost_by_fitment"][name]["amount"]) for name in ("lean", "average", "full"))
    assert str(average) == found["cost"]["total"]
    assert lean < average < full
    words = " ".join(bomtui("rollup", partly, "--variant", "zone").out.split())
    assert f"lean {lean} EUR, average {average} EUR, full {full} EUR" in words
    assert "by fitment" not in bomtui("rollup", SWEEPER, "--variant", "zone").out


def test_checks_stay_with_the_full_fit_vehicle(bomtui: Command, partly: Path) -> None:
    """Pieces, wires, currents, standby and heat are those of the vehicle that has everything."""
    own = bomtui("rollup", partly, "--variant", "zone", "--format", "json").json
    plain = bomtui("rollup", SWEEPER, "--variant", "zone", "--format", "json").json
    assert own["modes"] == plain["modes"]
    for name in ("pieces", "wire_count", "wire_length_m", "standby_a", "parking_days"):
        assert own["totals"][name] == plain["totals"][name]
    for one, other in zip(own["modules"], plain["modules"], strict=True):
        assert (one["devices"], one["pins"], one["wires"]) == (other["devices"], other["pins"], other["wires"])


@pytest.mark.slow
def test_the_parts_list_is_that_of_the_average_vehicle(bomtui: Command, partly: Path) -> None:
    """Need follows from average quantities; lines add to the parts cost, modules to their line, and a note says why."""
    found = bomtui("parts-list", partly, "--variant", "zone", "--format", "json").json
    shared = [line for line in found["lines"] if line["quantity_full"] != line["quantity"]]
    assert shared
    for line in shared:
        exact = line["quantity_lean"] + (line["quantity_full"] - line["quantity_lean"]) * 0.4
        assert line["quantity"] == pytest.approx(exact)
        assert sum(own["quantity"] for own in line["per_module"].values()) == pytest.approx(line["quantity"])
        assert line["need"] == -(-round(line["quantity"] * found["volume_per_year"], 6) // 1)
        assert "not in every vehicle: " in line["note"]
    assert sum(Decimal(line["line_price"]) for line in found["lines"]) == Decimal(found["total"])
    table = bomtui("parts-list", partly, "--variant", "zone", "--format", "csv").out
    rows = {row["part"]: row for row in csv.DictReader(io.StringIO(table))}
    assert all(json.loads(rows[line["part"]]["quantity"]) == line["quantity"] for line in shared)
    assert "those of the average vehicle" in bomtui("parts-list", partly, "--variant", "zone").out
    assert "average vehicle" not in bomtui("parts-list", SWEEPER, "--variant", "zone").out
