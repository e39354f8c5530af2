"""How long a rollup takes, as ratios measured in one run (`pytest tests/benchmarks`).

The other side of the first ratio is a bare loop over the same loads, modes and corners: it finds the chip of each load,
computes currents, power, junction temperatures and cost, knows no unknown, and explains nothing.
"""

from collections.abc import Callable
from decimal import Decimal
from statistics import median
from time import process_time

import pytest

from bomtui.edit.edit import Edit, apply
from bomtui.edit.edits.device import SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.placement import TakeOff
from bomtui.engine.rollup import Computed, rollup
from bomtui.model.proposal import Snapshot
from tests.generated import generated_snapshot

ROUNDS = 15
HOT_SLOPE_PER_K = 0.0072


def _seconds(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return process_time() - start


def _timed_rollup(snapshot: Snapshot, former: Computed | None) -> tuple[float, Computed]:
    start = process_time()
    computed = rollup(snapshot, "only", former)
    return process_time() - start, computed


def bare_loop(snapshot: Snapshot) -> tuple[float, float, Decimal]:  # noqa: C901 - straight on is what it is for
    """Current, hottest junction and cost of a generated vehicle, straight on."""
    proposal, parts = snapshot.proposal, snapshot.parts
    variant = proposal.variants["only"]
    placed = []
    for load_id, load in proposal.loads.items():
        module_id, ref, _ = variant.placements[load_id].on[0].split(".")
        module = variant.modules[module_id]
        placed.append((load, (module_id, ref), parts[module.devices[ref].part], proposal.zones[module.zone]))
    current_a, hottest_degc, cost = 0.0, 0.0, Decimal(0)
    for module in variant.modules.values():
        for device in module.devices.values():
            cost += parts[device.part].breaks[-1].price
    for worst in (False, True):
        for mode_id, mode in proposal.modes.items():
            heat_w: dict[tuple[str, str], float] = {}
            air_degc: dict[tuple[str, str], float] = {}
            for load, chip, part, zone in placed:
                amps = load.test_current_a or 0.0
                volts = (mode.supply_high_v if worst else mode.supply_nominal_v) or 0.0
                if load.behaviour == "resistive":
                    amps = amps * volts / 13.5
                elif load.behaviour == "filament":
                    amps = amps * (volts / 13.5) ** 0.55
                elif load.behaviour == "constant_power":
                    amps = amps * 13.5 / volts
                share = load.time_share_ratio[mode_id] * load.pwm_duty_ratio.get(mode_id, 1.0)
                current_a += amps * share
                ohm = (part.rds_on_ohm.max if worst else part.rds_on_ohm.typ) or 0.0
                heat_w[chip] = heat_w.get(chip, 0.0) + amps * amps * ohm * share
                air_degc[chip] = (zone.ambient_degc or 0.0) + 15
            for chip, watts in heat_w.items():
                junction = (air_degc[chip] + 28 * watts * (1 - 25 * HOT_SLOPE_PER_K)) / (
                    1 - 28 * watts * HOT_SLOPE_PER_K
                )
                hottest_degc = max(hottest_degc, junction)
    return current_a, hottest_degc, cost


def _edit(kind: str, number: int) -> Edit:
    """Return an edit of a kind, each number at another place of the vehicle."""
    load_id = f"L{number * 131 % 2000}"
    if kind == "current":
        return SetField(place=f"loads.{load_id}.test_current", value=0.5 + number / 10)
    if kind == "take off":
        return TakeOff(variant="only", loads=(load_id,))
    return SwapDevice(variant="only", module_id=f"M{number}", ref="U5", part=f"switch-{(number + 5) % 8}")


@pytest.mark.parametrize("loads_per_module", [100])
def test_full_rollup_of_10_000_loads(loads_per_module: int, record_property: Callable[[str, object], None]) -> None:
    """A full rollup of 10,000 loads in five modes and two corners takes at most 4 times the bare loop."""
    snapshot = generated_snapshot(10_000, loads_per_module)
    rollup(snapshot, "only")
    pairs = [(_seconds(lambda: rollup(snapshot, "only")), _seconds(lambda: bare_loop(snapshot))) for _ in range(ROUNDS)]
    ratio = median(full / bare for full, bare in pairs)
    record_property("full rollup over bare loop", round(ratio, 2))
    print(f"full rollup over bare loop: {ratio:.2f}")  # noqa: T201 - the figure is what the run is for
    assert ratio <= 4


@pytest.mark.parametrize("kind", ["current", "take off", "swap"])
@pytest.mark.parametrize("loads_per_module", [40, 13])
def test_one_edit_of_2_000_loads(
    loads_per_module: int, kind: str, record_property: Callable[[str, object], None]
) -> None:
    """After one edit at 2,000 loads the new rollup takes at most a twentieth of a full one."""
    snapshot = generated_snapshot(2_000, loads_per_module)
    computed = rollup(snapshot, "only")
    ratios = []
    for number in range(ROUNDS):
        full, _ = _timed_rollup(snapshot, None)
        after = apply(_edit(kind, number), snapshot)
        assert isinstance(after, Snapshot), after
        snapshot = after
        edit, computed = _timed_rollup(snapshot, computed)
        ratios.append(edit / full)
    ratio = median(ratios)
    record_property("edit over full rollup", round(ratio, 4))
    print(f"{kind}: one edit over a full rollup: 1/{1 / ratio:.0f}")  # noqa: T201 - the figure is what the run is for
    assert ratio <= 1 / 20
