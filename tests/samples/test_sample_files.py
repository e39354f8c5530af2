"""The committed samples are what the script makes of the tables, and they read back without a fault."""

import pytest

from bomtui.model.load import LOAD_KINDS
from bomtui.model.part import DRIVER_KINDS
from bomtui.storage.frozen_parts import parts_path, read_parts
from bomtui.storage.proposal.read import read_proposal
from bomtui.storage.shipped import read_shipped_catalog
from tests.samples.make_samples import BUILDERS, SAMPLES, sample_texts
from tests.samples.rollups import DEMO_VARIANTS, FOLDERS, sample_path, snapshot
from tests.samples.tables import part_counts, table

DEMOS = ("sweeper", "van")
"""Vehicles that are made from the published tables."""


def test_committed_files_are_the_output_of_the_script() -> None:
    """Each committed file equals, byte by byte, what the script makes of the tables and the catalog."""
    texts = sample_texts()
    assert len(texts) == 2 * len(FOLDERS)
    assert [path.name for path, text in texts.items() if path.read_bytes() != text.encode()] == []


def test_nothing_else_is_a_sample() -> None:
    """No proposal or parts file lies there that the script does not make."""
    assert {path for path in SAMPLES.rglob("*.toml") if "expected" not in path.parts} == set(sample_texts())


@pytest.mark.parametrize("vehicle", FOLDERS)
def test_committed_files_read_back_without_a_problem(vehicle: str) -> None:
    """What was built is what is read: the same proposal, the same parts, nothing to complain of."""
    proposal, parts = BUILDERS[FOLDERS[vehicle]]()
    read = read_proposal(sample_path(vehicle))
    read_back, problems = read_parts(parts_path(sample_path(vehicle)))
    assert (read.problems, read.lost_comments, problems) == ((), (), ())
    assert read.proposal == proposal
    assert read_back == parts


@pytest.mark.parametrize("vehicle", DEMOS)
def test_frozen_parts_are_the_catalog_parts_that_are_used(vehicle: str) -> None:
    """The frozen parts are those that some variant uses, no others, as the shipped catalog has them."""
    catalog, _ = read_shipped_catalog()
    sample = snapshot(vehicle)
    listed = {
        key
        for name, variant in DEMO_VARIANTS
        if name == vehicle
        for row in table(f"{vehicle}_{variant}_modules")
        for key, _ in part_counts(row["parts"])
    }
    assert sample.parts == {key: catalog[key] for key in listed}


@pytest.mark.parametrize("vehicle", FOLDERS)
def test_sample_says_that_it_is_invented(vehicle: str) -> None:
    """A sample carries the mark by which screens and artefacts call its data invented."""
    assert snapshot(vehicle).proposal.proposal.demo
    assert "invented" in read_proposal(sample_path(vehicle)).leading_comment


@pytest.mark.parametrize("vehicle", DEMOS)
def test_every_cell_of_the_load_list_is_in_the_sample(vehicle: str) -> None:
    """Each load carries the list's own values, under the demo's own ids."""
    loads = snapshot(vehicle).proposal.loads
    rows = table(f"{vehicle}_loads")
    coils = {row["ref"]: row for row in table("invented_coils", vehicle=vehicle)}
    assert sorted(loads) == sorted(row["ref"] for row in rows)
    assert not any(row["R_ohm"] or row["L_mH"] for row in rows if row["ref"] in coils)
    for row in (
        {**row, **{name: coils[row["ref"]][name] for name in ("R_ohm", "L_mH")}} if row["ref"] in coils else row
        for row in rows
    ):
        load = loads[row["ref"]]
        texts = (load.subsystem, load.name, load.kind, load.zone, load.drive, load.safety)
        assert texts == tuple(row[name] for name in ("subsystem", "name", "kind", "zone", "drive", "asil"))
        assert load.kind in LOAD_KINDS
        for cell, value, factor in (
            (row["rated_W"], load.rated_power_w, 1),
            (row["i_test_A"], load.test_current_a, 1),
            (row["i_peak_A"], load.peak_current_a, 1),
            (row["t_peak_ms"], load.peak_time_s, 1e3),
            (row["pwm_Hz"], load.pwm_frequency_hz, 1),
            (row["R_ohm"], load.resistance_ohm, 1),
            (row["L_mH"], load.inductance_h, 1e3),
        ):
            assert (value is None) == (cell == "")
            assert value is None or value * factor == pytest.approx(float(cell))


@pytest.mark.parametrize("vehicle", DEMOS)
def test_every_share_is_a_time_share_or_a_pwm_duty(vehicle: str) -> None:
    """A modulated load is on all the time at its duty, a switched one, lamps among them, is on for its share."""
    proposal = snapshot(vehicle).proposal
    modulated = set()
    for row in table(f"{vehicle}_loads"):
        load = proposal.loads[row["ref"]]
        for mode in proposal.modes:
            share, duty = load.time_share_ratio[mode], load.pwm_duty_ratio.get(mode)
            assert share * (1.0 if duty is None else duty) == pytest.approx(float(row[f"d_{mode}"]) / 100)
            if duty is not None:
                assert share == 1.0
                modulated.add(row["ref"])
    expected = {
        "sweeper": "E05 E06 E07 E08 E09 E10 C01 C02 C03 H01 W01 W02 W05 W09",
        "van": "E09 E10 E11 E13 E14 C01 H01 B06 B07",
    }
    assert modulated == set(expected[vehicle].split())


@pytest.mark.parametrize("vehicle", DEMOS)
def test_zones_modes_subsystems_and_pairs_are_complete(vehicle: str) -> None:
    """Every zone with every distance, every mode with its voltages, every subsystem and every pair is there."""
    proposal = snapshot(vehicle).proposal
    zones = table(f"{vehicle}_zones")
    assert set(proposal.zones) == {row["zone"] for row in zones}
    for row in zones:
        assert proposal.zones[row["zone"]].ambient_degc == float(row["ambient_C"])
        for other, zone in proposal.zones.items():
            there, back = proposal.zones[row["zone"]].distance_m.get(other), zone.distance_m.get(row["zone"])
            given = {there, back} - {None}
            assert given == {float(row[other])}
            assert (there is None) != (back is None) or other == row["zone"]
    modes = table(f"{vehicle}_modes")
    assert set(proposal.modes) == {row["mode"] for row in modes}
    for row in modes:
        mode = proposal.modes[row["mode"]]
        assert mode.supply_nominal_v == float(row["supply_V"])
        assert mode.supply_dip_v == (float(row["dip_V"]) if row["dip_V"] else None)
        assert mode.alternator_current_a == float(row["alternator_A"])
        assert mode.supply_low_v is not None
        assert mode.supply_high_v is not None
        assert mode.supply_low_v < mode.supply_nominal_v < mode.supply_high_v
    assert len(proposal.subsystems) == 10
    assert {load.subsystem for load in proposal.loads.values()} == set(proposal.subsystems)
    assert {(pair.primary, pair.stand_in, pair.stand_in_duty_ratio) for pair in proposal.pairs.values()} == {
        (row["primary"], row["fallback"], float(row["fallback_duty_pct"]) / 100) for row in table(f"{vehicle}_pairs")
    }


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_placements_follow_the_allocation(vehicle: str, variant: str) -> None:
    """Each chip has its reference, and its channels are taken one after the other in the order of the table."""
    built = snapshot(vehicle).proposal.variants[variant]
    channels: dict[str, list[str]] = {}
    for row in table(f"{vehicle}_{variant}_alloc"):
        module, ref = row["chip"].split(".")
        assert (row["module"], built.modules[module].devices[ref].part) == (module, row["part_key"])
        channels.setdefault(row["chip"], []).extend([row["load"]] * int(row["channels"]))
    placed = {address: load for load, placement in built.placements.items() for address in placement.on}
    expected = {f"{chip}.{place}": load for chip, loads in channels.items() for place, load in enumerate(loads, 1)}
    assert {address: load for address, load in placed.items() if "." in address} == expected
    assert set(built.placements) == set(snapshot(vehicle).proposal.loads)


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_every_signal_names_its_controller_and_every_driver_is_allocated(vehicle: str, variant: str) -> None:
    """A device with signals names a controller of its module; no driver lies idle in these demos."""
    sample = snapshot(vehicle)
    for module_id, module in sample.proposal.variants[variant].modules.items():
        allocated = {row["chip"] for row in table(f"{vehicle}_{variant}_alloc", module=module_id)}
        for ref, device in module.devices.items():
            part = sample.parts[device.part]
            if part.kind in DRIVER_KINDS:
                assert f"{module_id}.{ref}" in allocated
            if part.pin_needs and part.kind != "controller":
                assert sample.parts[module.devices[device.commanded_by].part].kind == "controller"
