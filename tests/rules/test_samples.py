"""What the rules find in the two sample vehicles is what was put into them, and nothing besides.

The tables are worked out by hand from the load, part and module lists of the samples; no outside source.
"""

from collections import Counter
from functools import cache

import pytest

from bomtui.engine.serving import serving_of
from bomtui.model.finding import Finding, Review
from bomtui.model.part import DRIVER_KINDS
from bomtui.rules.registry import RULES
from bomtui.rules.run import review
from bomtui.rules.wording import printed
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

# Modules, the voltage that nothing in them makes, and the parts that need it.
MISSING_RAILS: dict[Variant, dict[tuple[str, float], list[str]]] = {
    ("sweeper", "distributed"): {
        ("DAUD", 5.0): ["can-1", "mcu-100"],
        ("DCLU", 1.8): ["nor-64"],
        ("DNAV", 1.1): ["ram-1g"],
        ("DNAV", 1.8): ["video-rx", "video-rx"],
    },
    ("sweeper", "zone"): {
        ("ZCEN", 3.3): ["eth-100", "eth-100", "mcu-176", "motion-6", "radio-sub"],
        ("ZHMI", 1.1): ["ram-1g"],
        ("ZHMI", 1.8): ["nor-64", "video-rx", "video-rx"],
        ("ZUND", 3.3): ["tilt-2"],
    },
    ("van", "distributed"): {
        ("DAUD", 5.0): ["can-1", "mcu-100"],
        ("DCLU", 1.8): ["nor-64"],
        ("DNAV", 1.1): ["ram-1g"],
        ("DNAV", 1.8): ["video-rx"],
    },
    ("van", "central"): {
        ("MBDY", 3.3): ["mcu-176", "motion-6", "radio-24", "tilt-2"],
        ("MHMI", 1.1): ["ram-1g"],
        ("MHMI", 1.8): ["nor-64", "video-rx"],
    },
}

# What the fit of loads and channels finds: rule, load, device, measured and limit as printed. E12, a pump of constant
# power, takes 3.4 A * 28 V / 12 V = 7.93 A (sweeper) and 6.5 A * 13.5 V / 7 V = 12.54 A (van) at the lowest supply
# while cranking, T04 0.45 A * 28 V / 12 V = 1.05 A; ls-2x40 measures no current and has no freewheel path; H07 hangs
# on two chips.
NO_REGULATION = ("no current sense, no freewheel path", "regulated current")
VALVES = ("E05", "E06", "W01", "W02", "W05")
UNFIT: dict[Variant, set[tuple[str, str, str, str]]] = {
    ("sweeper", "distributed"): {
        ("current.channel", "E12", "7.933 A", "5.2 A"),
        ("current.channel", "T04", "1.05 A", "700 mA"),
        *[("current.regulation", valve, *NO_REGULATION) for valve in VALVES],
    },
    ("sweeper", "zone"): {
        ("current.channel", "E12", "7.933 A", "5.2 A"),
        *[("current.regulation", valve, *NO_REGULATION) for valve in VALVES],
    },
    ("van", "distributed"): {
        ("current.channel", "E12", "12.54 A", "10 A"),
        ("parallel.channels", "H07", "2 devices", "1 device"),
    },
    ("van", "central"): {
        ("current.channel", "E12", "12.54 A", "10 A"),
        ("parallel.channels", "H07", "2 devices", "1 device"),
    },
}
FIT_RULES = (
    "channel.short", "drive.side", "supply.net", "current.channel", "stage.missing", "pwm.frequency",
    "current.regulation", "string.voltage", "parallel.channels", "diagnosis.seen",
)  # fmt: skip

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


@pytest.mark.parametrize("variant", VARIANTS[:2], ids="-".join)
def test_the_boost_converter_of_the_injectors_does_not_pass(variant: Variant) -> None:
    """A converter declared for B beside injectors that ask C is a finding, decided or not."""
    loud = [*findings(variant, "safety.capability"), *findings(variant, "safety.capability", "undecided")]
    (boost,) = [found for found in loud if part_at(variant, found.place) == "boost-65"]
    assert (boost.measured, boost.limit) == ("B", "C")


@every_demo_variant
def test_missing_rails(variant: Variant) -> None:
    """Supply inputs that hang on nothing are exactly those of the table."""
    missing: dict[tuple[str, float], list[str]] = {}
    for found in findings(variant, "rail.missing"):
        assert found.measured == "no rail"
        assert isinstance(found.limit, float)
        module = found.place.partition(".")[0]
        missing.setdefault((module, found.limit), []).append(part_at(variant, found.place))
    assert {key: sorted(parts) for key, parts in missing.items()} == MISSING_RAILS[variant]


@every_demo_variant
def test_no_stand_in_shares_a_device(variant: Variant) -> None:
    """Every pair is apart; of the two hopper switches nothing says by which device they are read."""
    assert findings(variant, "standin.device") == []
    unclear = {found.place for found in findings(variant, "standin.device", "undecided")}
    assert unclear == ({"T06-T07"} if variant[0] == "sweeper" else set())


@every_variant
def test_channels_sides_and_pins_are_clean(variant: Variant) -> None:
    """The samples place every load on channels that exist, are free and fit, and no controller lacks a pin."""
    counts = {count.rule: count for count in reviewed(variant).counts}
    for rule in ("channel.missing", "channel.short", "channel.twice", "drive.side", "pins.short"):
        assert counts[rule].places > 0
        assert counts[rule].passed == counts[rule].places


@every_demo_variant
def test_loads_that_do_not_fit_their_channels(variant: Variant) -> None:
    """The fit of loads and channels finds exactly what the tables say, and leaves nothing open."""
    found = [finding for finding in reviewed(variant).findings if finding.rule in FIT_RULES]
    failed = [finding for finding in found if finding.outcome == "failed"]
    assert {
        (own.rule, own.place, printed(own.measured, own.unit), printed(own.limit, own.unit)) for own in failed
    } == UNFIT[variant]
    assert len(failed) == len(UNFIT[variant])
    assert [(finding.rule, finding.place) for finding in found if finding.outcome == "undecided"] == []


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
