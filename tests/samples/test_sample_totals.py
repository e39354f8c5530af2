"""Totals of the sweeper against the demo's published check values, and sums of all variants."""

from decimal import Decimal

import pytest

from bomtui.model.money import round_half_up
from bomtui.model.rollup import COST_ELEMENTS
from tests.samples.rollups import COSTED, VARIANTS, lowest, result, snapshot
from tests.samples.tables import table

LIFE_EXCESS = {"distributed": Decimal("8.39"), "zone": Decimal("7.52")}
PARKING_DAYS = {"distributed": 119.5, "zone": 119.8}
TOTAL = {"distributed": Decimal("761.7432"), "zone": Decimal("641.1634")}


@pytest.mark.parametrize(("vehicle", "variant"), COSTED)
def test_vehicle_figures_are_the_published_ones(vehicle: str, variant: str) -> None:
    """Modules, driver devices, part numbers, cost, first-order excess, standby, wires and metres agree to the digit."""
    (row,) = table("golden_variants", variant=f"{vehicle}_{variant}")
    found = result(vehicle, variant)
    assert len(found.modules) == int(row["boxes"])
    assert found.driver_devices == int(row["driver_chips"])
    assert len(found.cost.lines) == int(row["part_numbers"])
    assert found.cost.elements["parts"].amount == Decimal(row["parts_eur_per_vehicle"])
    assert round_half_up(found.cost.excess_per_year.amount, 2) == Decimal(row["excess_eur_per_year"])
    assert round(lowest(found.standby_a.typ) * 1e6, 1) == float(row["standby_uA"])
    assert found.wire_count == int(row["wires"])
    assert found.wire_length_m == Decimal(row["wire_m"])
    assert found.unplaced == ()


@pytest.mark.parametrize(("vehicle", "variant"), COSTED)
def test_life_excess_and_parking_days(vehicle: str, variant: str) -> None:
    """Stock left after eight years, per vehicle, and days until the parked sweeper no longer starts."""
    found = result(vehicle, variant)
    assert round_half_up(found.cost.excess_life_per_vehicle.amount, 2) == LIFE_EXCESS[variant]
    assert round(lowest(found.parking_days.typ), 1) == PARKING_DAYS[variant]


@pytest.mark.parametrize(("vehicle", "variant"), COSTED)
def test_cost_table_by_element(vehicle: str, variant: str) -> None:
    """Each element of the published cost table agrees at its two decimals, and the total at four."""
    (row,) = table("golden_rollup", variant=f"{vehicle}_{variant}")
    found = result(vehicle, variant)
    names = {"net_nodes": "network"}
    for column in ("parts", "placement", "test", "assembly", "wire", "wire_ends", "net_nodes"):
        element = found.cost.elements[names.get(column, column)]
        assert (round_half_up(element.amount, 2), element.unknown) == (Decimal(row[column]), 0)
    for name in ("attrition", "freight", "duty", "one_off"):
        assert found.cost.elements[name].amount == 0
    assert found.cost.total.amount == TOTAL[variant]
    assert round_half_up(found.cost.total.amount, 2) == Decimal(row["total_eur"])
    assert sum(module.placed_pieces for module in found.modules.values()) == int(row["placements"])
    ways = sum(module.wires.ways + 2 * module.wires.power_headers for module in found.modules.values())
    assert ways == int(row["conn_ways"])


@pytest.mark.parametrize(("vehicle", "variant"), COSTED)
def test_lines_of_the_parts_list(vehicle: str, variant: str) -> None:
    """Quantity, need, order, unit price and line price of every part agree with the published list."""
    lines = {line.part: line for line in result(vehicle, variant).cost.lines}
    rows = table(f"{vehicle}_{variant}_cost")
    assert {row["part_key"] for row in rows} == set(lines)
    for row in rows:
        line = lines[row["part_key"]]
        assert (line.quantity, line.need, line.order, line.unit_price, line.line_price) == (
            Decimal(row["qty_per_vehicle"]),
            int(row["annual_need"]),
            int(row["order_qty"]),
            Decimal(row["unit_eur"]),
            Decimal(row["line_eur"]),
        )


@pytest.mark.parametrize(("vehicle", "variant"), COSTED)
def test_mode_sums_are_the_published_ones(vehicle: str, variant: str) -> None:
    """The list arithmetic at test voltage gives the published amperes and watts of each mode."""
    found = {mode.mode: lowest(mode.loads_a) for mode in result(vehicle, variant).modes}
    test_v = snapshot(vehicle).proposal.vehicle.test_voltage_v
    assert test_v is not None
    for row in table("sweeper_mode_current"):
        assert round(found[row["mode"]], 2) == float(row["sum_load_A"])
        assert round(found[row["mode"]] * test_v, 1) == float(row["sum_load_W"])


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_vehicle_is_the_sum_of_modules_and_of_subsystems(vehicle: str, variant: str) -> None:
    """Cost adds up to the last digit each way: elements, lines, modules, subsystems with common and reserve."""
    found = result(vehicle, variant)
    cost = found.cost
    assert sum(element.amount for element in cost.elements.values()) == cost.total.amount
    assert set(cost.elements) == set(COST_ELEMENTS)
    assert sum(module.total.amount for module in cost.modules.values()) == cost.total.amount
    owners = sum(owner.amount for owner in cost.subsystems.values())
    assert owners + cost.common.amount + cost.reserve.amount == cost.total.amount
    for module in cost.modules.values():
        shares = [*module.subsystems.values(), module.common, module.reserve]
        assert sum(share.amount for share in shares) == module.total.amount
    assert sum(line.line_price for line in cost.lines if line.line_price is not None) == cost.elements["parts"].amount
    assert cost.total.unknown == 0
    assert sum(module.wires.wires for module in found.modules.values()) == found.wire_count
    assert sum(module.wires.length_m for module in found.modules.values()) == found.wire_length_m


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_vehicle_currents_are_the_sum_of_modules(vehicle: str, variant: str) -> None:
    """Standby, loads and electronics of the vehicle are those of its modules together."""
    found = result(vehicle, variant)
    modules = found.modules.values()
    assert lowest(found.standby_a.typ) == pytest.approx(sum(lowest(module.standby_a.typ) for module in modules))
    assert lowest(found.standby_a.max) == pytest.approx(sum(lowest(module.standby_a.max) for module in modules))
    for row, mode in enumerate(found.modes):
        parts = [module.modes[row] for module in modules]
        assert {part.mode for part in parts} == {mode.mode}
        assert lowest(mode.loads_a) == pytest.approx(sum(lowest(part.loads_a) for part in parts))
        assert lowest(mode.electronics_a.typ) == pytest.approx(sum(lowest(part.electronics_a.typ) for part in parts))


@pytest.mark.parametrize("vehicle", ["sweeper", "van"])
def test_variants_serve_the_same_loads(vehicle: str) -> None:
    """Both variants of a vehicle serve every load of the list, so that they can be compared."""
    loads = set(snapshot(vehicle).proposal.loads)
    for name, variant in VARIANTS:
        if name == vehicle:
            served = [load for module in result(name, variant).modules.values() for load in module.loads]
            assert len(served) == len(loads)
            assert set(served) == loads


@pytest.mark.parametrize("vehicle", ["sweeper", "van"])
def test_variants_share_one_list_arithmetic(vehicle: str) -> None:
    """The load currents of a mode do not depend on the architecture that serves them."""
    first, second = (result(name, variant) for name, variant in VARIANTS if name == vehicle)
    for one, other in zip(first.modes, second.modes, strict=True):
        assert lowest(one.loads_a) == pytest.approx(lowest(other.loads_a))
