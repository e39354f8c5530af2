"""What the rules say of the samples beyond the tables of expected findings: loads by name, counts, what is clean.

The lists are worked out by hand from the load, part and module lists of the samples; no outside source.
"""

from collections import Counter
from functools import cache

import pytest

from bomtui.engine.serving import serving_of
from bomtui.model.finding import Finding, Review
from bomtui.model.part import DRIVER_KINDS
from bomtui.rules.registry import RULES
from bomtui.rules.run import review
from tests.samples.rollups import DEMO_VARIANTS, VARIANTS, result, snapshot

Variant = tuple[str, str]

# Driver chips declared below the loads on them: device, part, its level, the loads.
DRIVERS_BELOW: dict[Variant, set[tuple[str, str, str, str]]] = {
    ("sweeper", "distributed"): {
        ("DENG.U7", "ls-2x40", "A", "E05 (B) and E06 (B)"),
        ("DEXT.U3", "hs24-4x100", "A", "L02 (B), L07 (B), L08 (B) and L21 (B)"),
        ("DEXT.U4", "hs24-4x100", "A", "L09 (B), L10 (B), L13 (B) and L14 (B)"),
        ("DEXT.U5", "hs24-4x100", "A", "L11 (B) and L12 (B)"),
        ("DTIL.U1", "hs24-8x220", "A", "T05 (B)"),
    },
    ("sweeper", "zone"): {
        ("ZENG.U9", "ls-2x40", "A", "E05 (B) and E06 (B)"),
        ("ZCEN.U5", "hs24-4x100", "A", "L02 (B), L07 (B) and L08 (B)"),
        ("ZREA.U6", "hs24-4x100", "A", "L11 (B) and L12 (B)"),
        ("ZREA.U7", "hs24-8x220", "A", "T05 (B)"),
    },
    ("van", "distributed"): {
        ("DENG.U6", "fb40-1x60", "B", "E09 (D)"),
        ("DEXT.U8", "hs12-4x75", "A", "L15 (B) and L16 (B)"),
    },
    ("van", "central"): {
        ("MENG.U8", "fb40-1x60", "B", "E09 (D)"),
        ("MBDY.U27", "hs12-4x75", "A", "L15 (B) and L16 (B)"),
    },
}

# Controllers, supplies, radios and displays below the loads that need them, by part.
OTHERS_BELOW: dict[Variant, set[str]] = {
    ("sweeper", "distributed"): {"radio-sub", "panel-7"},
    ("sweeper", "zone"): {"radio-sub", "panel-7"},
    ("van", "distributed"): {"radio-24", "panel-10", "mcu-24", "sbc-lin"},
    ("van", "central"): {"radio-24", "panel-10"},
}

every_variant = pytest.mark.parametrize("variant", VARIANTS, ids="-".join)
every_demo_variant = pytest.mark.parametrize("variant", DEMO_VARIANTS, ids="-".join)


@cache
def reviewed(variant: Variant) -> Review:
    """The review of one variant of a committed sample."""
    vehicle, name = variant
    state = snapshot(vehicle)
    serving = serving_of(state.proposal.variants[name], state.proposal.loads)
    return review(state, name, result(vehicle, name), serving)


def findings(variant: Variant, rule: str, outcome: str = "failed") -> list[Finding]:
    """What one rule found."""
    return [found for found in reviewed(variant).findings if (found.rule, found.outcome) == (rule, outcome)]


def part_at(variant: Variant, place: str) -> str:
    """Key of the part at the address of a device."""
    vehicle, name = variant
    module, ref = place.split(".")
    return snapshot(vehicle).proposal.variants[name].modules[module].devices[ref].part


@every_demo_variant
def test_devices_below_their_loads(variant: Variant) -> None:
    """Devices declared below a load that needs them are exactly those of the tables, with their loads named."""
    drivers: set[tuple[str, str, str, str]] = set()
    others: set[str] = set()
    for found in findings(variant, "safety.capability"):
        key = part_at(variant, found.place)
        if snapshot(variant[0]).parts[key].kind in DRIVER_KINDS:
            loads = found.message.partition("the function of ")[2].partition(" asks ")[0]
            drivers.add((found.place, key, str(found.measured), loads))
        else:
            others.add(key)
    assert drivers == DRIVERS_BELOW[variant]
    assert others - {"boost-65"} == OTHERS_BELOW[variant]


@every_variant
def test_channels_sides_and_pins_are_clean(variant: Variant) -> None:
    """The samples place every load on channels that exist, are free and fit, and no controller lacks a pin."""
    counts = {count.rule: count for count in reviewed(variant).counts}
    for rule in ("channel.missing", "channel.short", "channel.twice", "drive.side", "pins.short"):
        assert counts[rule].places > 0
        assert counts[rule].passed == counts[rule].places


@every_variant
def test_only_heat_lacks_data(variant: Variant) -> None:
    """Every value that currents, standby, wires and cost read is given; some parts lack thermal data."""
    missing = findings(variant, "data.missing")
    assert missing
    assert {found.message.partition(", so ")[2] for found in missing} == {
        "heat and junction temperatures cannot be told exactly"
    }
    assert findings(variant, "data.missing", "undecided") == []


@every_variant
def test_counts_agree_with_findings(variant: Variant) -> None:
    """Each rule was carried out, and what it counts as failed or undecided is listed."""
    whole = reviewed(variant)
    assert [count.rule for count in whole.counts] == [rule.name for rule in RULES]
    listed = Counter((found.rule, found.outcome, found.severity == "error") for found in whole.findings)
    for count in whole.counts:
        said = [listed[count.rule, *kind] for kind in (("failed", True), ("failed", False), ("undecided", False))]
        assert [count.failed, count.warned, count.undecided] == said
        assert count.places == count.passed + count.warned + count.failed + count.undecided
