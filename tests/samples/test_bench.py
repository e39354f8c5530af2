"""The subject bench meets every kind that there is, and its figures are those worked out by hand."""

import pytest

from bomtui.engine.electrics import Electrics
from bomtui.engine.serving import serving_of
from bomtui.model.load import BEHAVIOURS, DRIVE_CODES, LOAD_KINDS
from bomtui.model.part import CONVERTERS, DRIVER_KINDS, PART_KINDS
from bomtui.services.open import open_proposal
from bomtui.services.review import review
from bomtui.services.rollup import compute
from tests.samples.rollups import lowest, result, sample_path, snapshot


def test_every_kind_of_load_drive_and_part_is_met() -> None:
    """Each load kind, drive code, behaviour and part kind stands in the bench, and both kinds of converter."""
    sample = snapshot("bench")
    loads, parts = sample.proposal.loads.values(), sample.parts.values()
    assert {load.kind for load in loads} == set(LOAD_KINDS)
    assert {load.drive for load in loads} == set(DRIVE_CODES)
    assert {load.behaviour for load in loads} == set(BEHAVIOURS)
    assert {part.kind for part in parts} == set(PART_KINDS)
    assert {part.converter for part in parts if part.converter} == set(CONVERTERS)


def test_every_load_is_served_and_every_driver_carries_one() -> None:
    """No load is without a place, no driver idle, and every subject has a module of its own."""
    sample, found = snapshot("bench"), result("bench", "bench")
    assert found.unplaced == ()
    assert len(found.modules) == len(sample.proposal.subsystems)
    for module in found.modules.values():
        for device in module.devices:
            assert device.channels_used or sample.parts[device.part].kind not in DRIVER_KINDS, device.ref


def test_every_rule_has_something_to_check() -> None:
    """No rule passes the bench by, so that a change of any rule is seen on it; a new rule needs its subject there."""
    found = review(compute(open_proposal(sample_path("bench")), "bench")).review
    assert [count.rule for count in found.counts if not count.places] == []


def test_current_of_the_lamps_by_hand() -> None:
    """Both lamps at 13.8 V, dimmed to 84 %, give the mean that the handbook's exponent gives.

    100 W and 55 W at 13.2 V: 7.5758 A and 4.1667 A, times (13.8 / 13.2)^0.55 = 1.02475 and 0.84^0.775 = 0.87361; the
    first is on for 60 % of the night: 4.0692 A and 3.7301 A. The other lamps of the module, on for 100, 20, 30 and 3 %
    of it: 5 W and 21 W at 13.5 V, 35 W at 13.2 V, 10 W at 13.5 V, and 0.25 A of the marker lamp.
    """
    night = next(mode for mode in result("bench", "bench").modules["BLMP"].modes if mode.mode == "NIGHT")
    dimmed = 0.84**0.775
    signal, front = (13.8 / 13.5) ** 0.55, (13.8 / 13.2) ** 0.55
    assert (100 / 13.2 * front * dimmed * 0.6, 55 / 13.2 * front * dimmed) == pytest.approx((4.0692, 3.7301), abs=5e-4)
    others = (5 + 21 * 0.2 + 10 * 0.03) / 13.5 * signal * dimmed + 35 / 13.2 * front * dimmed * 0.3 + 0.25
    assert lowest(night.loads_at_mode_voltage_a.typ) == pytest.approx(4.0692 + 3.7301 + others, abs=1e-3)


def test_junction_of_the_fan_switch_by_hand() -> None:
    """The 4 milliohm switch of the fan is at 119.98 degC with the fan on.

    11.8 A at 13.5 V are 12.587 A at 14.4 V. Conduction at 25 degC: 12.587^2 * 4.9 mOhm * 0.9 = 0.6987 W, growing by
    0.85 / 125 = 0.0068 a kelvin. Edges: 14.4 V * 12.587 A * (18 + 18) us * 100 Hz / 2 = 0.3263 W. Own supply: 5.2 mA *
    14.4 V = 0.0749 W. Air 60 + 15 = 75 degC, 29 K/W:
    (75 + 29 * (0.4012 + 0.6987 * (1 - 25 * 0.0068))) / (1 - 29 * 0.0068 * 0.6987) = 103.45 / 0.86222 = 119.98.
    """
    sample = snapshot("bench")
    serving = serving_of(sample.proposal.variants["bench"], sample.proposal.loads)
    heats = Electrics(sample, "bench", serving).heat_max["BFAN"]["U1"]
    (day,) = [heat for heat in heats if heat.mode == "DAY"]
    assert day.junction_degc == pytest.approx(119.98, abs=0.01)
