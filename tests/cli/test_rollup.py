"""`bomtui rollup`: the figures of both samples as JSON and as text."""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import SWEEPER, VAN, Command

# Check values of the invented sweeper, worked out once outside this program from the same tables.
TOTALS: dict[str, dict[str, Any]] = {
    "zone": {
        "parts_cost": "439.2334",
        "rounding_excess_per_year": "58062.12",
        "rounding_excess_life_per_vehicle": "7.52",
        "part_numbers": 58,
        "driver_devices": 34,
        "modules": 5,
        "wire_count": 215,
        "wire_length_m": 227.8,
        "pieces": 2232,
    },
    "distributed": {
        "parts_cost": "476.5482",
        "rounding_excess_per_year": "54986.94",
        "rounding_excess_life_per_vehicle": "8.39",
        "part_numbers": 60,
        "driver_devices": 37,
        "modules": 10,
        "wire_count": 235,
        "wire_length_m": 395.3,
        "pieces": 2472,
    },
}
STANDBY_UA_AND_DAYS = {"zone": (963.7, 119.8), "distributed": (999.2, 119.5)}
COSTS = {"zone": ("11.5600", "641.1634"), "distributed": ("19.1600", "761.7432")}
VAN_LIN_ROUND_MS = 21.583
"""Round of the van's LIN network of the engine: slots of 2, 4, 2 and 4 bytes at 19.2 kbit/s, as a public worked example
has them."""
FOUR_VARIANTS = [(SWEEPER, "zone"), (SWEEPER, "distributed"), (VAN, "central"), (VAN, "distributed")]


@pytest.mark.parametrize("variant", ["zone", "distributed"])
def test_totals_of_the_sweeper(bomtui: Command, variant: str) -> None:
    """The JSON of both variants carries the totals that were worked out outside of the program."""
    result = bomtui("rollup", SWEEPER, "--variant", variant, "--format", "json")
    totals = result.json["totals"]
    assert (result.code, result.err) == (0, [])
    assert {name: totals[name] for name in TOTALS[variant]} == TOTALS[variant]
    standby_ua, days = STANDBY_UA_AND_DAYS[variant]
    assert totals["standby_a"]["typ"] == pytest.approx(standby_ua * 1e-6, abs=0.05e-6)
    assert totals["parking_days"]["typ"] == pytest.approx(days, abs=0.05)
    assert (totals["cost"]["test"], totals["cost"]["total"]) == COSTS[variant]


@pytest.mark.parametrize(("sample", "variant"), FOUR_VARIANTS)
def test_printed_amounts_add_up(bomtui: Command, sample: Path, variant: str) -> None:
    """Elements, modules, and subsystems with common and reserve each add to the printed total, to the last digit."""
    found = bomtui("rollup", sample, "--variant", variant, "--format", "json").json
    elements = {name: Decimal(amount) for name, amount in found["totals"]["cost"].items()}
    total = elements.pop("total")
    subsystems = [Decimal(row["cost"]) for row in found["subsystems"]]
    assert sum(elements.values()) == total
    assert sum(Decimal(module["cost"]) for module in found["modules"]) == total
    assert sum(subsystems) + Decimal(found["common"]) + Decimal(found["reserve"]) == total
    for module in found["modules"]:
        shares = [*module["subsystems"].values(), module["common"], module["reserve"]]
        assert sum(Decimal(share["amount"]) for share in shares) == Decimal(module["cost"])


def test_keys_of_the_published_form(bomtui: Command) -> None:
    """The JSON has every key of the published form at its place."""
    found = bomtui("rollup", SWEEPER, "--format", "json").json
    module, mode = found["modules"][0], found["modes"][0]
    device = module["devices"][0]
    bounded = {"typ", "max", "bound", "unknown"}
    assert found["format"] == 1
    assert found["proposal"] == "Street sweeper, depot series"
    assert (found["variant"], found["currency"]) == ("zone", "EUR")
    assert len(found["content_hash"]) == 16
    assert {"loads", "loads_at_mode_voltage", "electronics"} | bounded <= set(mode["supply_current_a"])
    assert bounded <= set(mode["load_current_a"])
    assert {"used", "total", "short"} <= set(module["pins"])
    assert {"used", "total"} <= set(module["channels"])
    assert bounded <= set(device["power_w"])
    assert bounded <= set(device["junction_degc"])
    assert {"ref", "part", "channels_used", "channels", "worst_mode", "runaway"} <= set(device)
    assert {"run", "undecided"} <= set(found["checks"])
    assert {"rule", "severity", "place", "message", "measured", "limit", "unit", "status"} <= set(found["findings"][0])


def test_a_bounded_figure_names_what_is_missing(bomtui: Command) -> None:
    """A sum with unknown terms is marked as a lower bound, with the count and the names of what is missing."""
    modes = bomtui("rollup", SWEEPER, "--variant", "zone", "--format", "json").json["modes"]
    supply = next(mode for mode in modes if mode["id"] == "WORK_DAY")["supply_current_a"]
    assert supply["bound"] == "at_least"
    assert supply["unknown"] == len(supply["missing"]) > 0
    assert supply["loads"] == {"typ": 56.7427, "max": 56.7427, "bound": "exact", "unknown": 0}


@pytest.mark.parametrize(("sample", "variant"), FOUR_VARIANTS)
def test_text_fits_80_columns(bomtui: Command, sample: Path, variant: str) -> None:
    """The text form of every sample keeps to 80 columns and ends with the caution."""
    lines = bomtui("rollup", sample, "--variant", variant).out.splitlines()
    assert [line for line in lines if len(line) > 80] == []
    assert lines[0].startswith("DEMO DATA - Rollup: ")
    assert "qualified engineers decide what is built." in lines[-1]


def test_text_says_what_a_reader_needs(bomtui: Command) -> None:
    """The text form carries totals, bounds, devices beyond their maximum, finding counts and what was checked."""
    text = " ".join(bomtui("rollup", SWEEPER, "--variant", "zone").out.split())
    for expected in (
        "parts cost 439.2334 EUR",
        "total cost 641.1634 EUR",
        "standby 963.7 uA typ, 1.466 mA max",
        "parking 119.8 days typ, 115.2 days worst",
        "215 wires, 227.8 m",
        "first order 58062.12 EUR tied up",
        "7.52 EUR per vehicle",
        "not checkable; nothing else was checked",
    ):
        assert expected in text
    assert "over 150" in text
    assert "only the model has a figure" in text


def test_no_parked_current_is_printed_twice(bomtui: Command) -> None:
    """The text prints one parked current, the standby figure, and not the raw list value."""
    lines = bomtui("rollup", SWEEPER, "--variant", "zone").out.splitlines()
    (parked,) = [line.split() for line in lines if line.strip().startswith("PARK ")]
    assert parked == ["PARK", "-", "-", "0.0009637", "0.001466", "0"]


def test_two_runs_give_the_same_bytes(bomtui: Command, tmp_path: Path) -> None:
    """A second run, and a file in place of stdout, give the same bytes."""
    first = bomtui("rollup", SWEEPER, "--format", "json")
    second = bomtui("rollup", SWEEPER, "-o", tmp_path / "rollup.json")
    assert (second.code, second.stdout) == (0, b"")
    assert (tmp_path / "rollup.json").read_bytes() == first.stdout


def test_the_variant_shown_first_is_the_default(bomtui: Command) -> None:
    """Without --variant the one that the proposal names is computed; an unknown one is refused with those there are."""
    assert bomtui("rollup", SWEEPER, "--format", "json").json["variant"] == "zone"
    refused = bomtui("rollup", SWEEPER, "--variant", "zones")
    assert (refused.code, refused.out) == (2, "")
    assert refused.err == ["bomtui: there is no variant 'zones'; the variants are zone, distributed"]


def test_networks_in_text_and_record(bomtui: Command) -> None:
    """Every network is a line of the text and a record with nodes, load, messages and reserve of its links."""
    found = bomtui("rollup", VAN, "--variant", "distributed", "--format", "json").json["networks"]
    networks = {network["id"]: network for network in found}
    engine = networks["LIN-ENG"]
    assert engine["cycle_s"]["max"] == pytest.approx(VAN_LIN_ROUND_MS * 1e-3, abs=1e-6)
    assert (engine["kind"], engine["nodes"], engine["capacitance_f"]["bound"]) == ("LIN", 3, "exact")
    assert all(message["response_s"]["bound"] == "exact" for message in networks["VEH"]["messages"])
    assert networks["VEH"]["cycle_s"] is None
    assert {link["sender"] for link in networks["RING"]["links"]} == {"DAUD", "DCLU", "DNAV"}
    assert networks["RING"]["load_ratio"] is None
    text = bomtui("rollup", VAN, "--variant", "distributed").out
    assert all(f"  {network_id} " in text for network_id in networks)


def test_a_figure_of_a_network_is_explained(bomtui: Command) -> None:
    """The response of a message goes down to the frames before it and the fields of the file."""
    name = "networks.VEH.messages.MENG-state:response_s/max"
    text = bomtui("explain", VAN, name, "--variant", "central").out
    assert text.startswith(f"{name} = ")
    assert "Davis, Burns, Bril, Lukkien 2007" in text
    assert "variants.central.networks.VEH.messages.MENG-control.data_bytes" in text
