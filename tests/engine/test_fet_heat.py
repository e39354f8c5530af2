"""Heat of FETs: each figure worked out beside the program's from what it is made of."""

from typing import Any

import pytest

from bomtui.engine.electrics import Electrics
from bomtui.engine.on_heat import OnHeat
from bomtui.engine.serving import serving_of
from tests.engine.test_on_heat import merge
from tests.rules.build import VARIANT, changed, snapshot_of

OHM, SLOPE, AIR_DEGC, HIGH_V = 0.002, 0.8 / 125, 80.0, 14.6
FULL_A = 10.0 * HIGH_V / 13.5
"""Current of a load of 10 A at 13.5 V, at the highest supply voltage."""
NO_ELECTRONICS = {
    "mcu": {"supplies": {"main": {"current": {"typ": "0 A", "max": "0 A"}}}},
    "ldo": {"supplies": {"input": {"current": {"typ": "0 A", "max": "0 A"}}}},
    "switch": {"supplies": {"main": {"current": {"typ": "0 A", "max": "0 A"}}}},
    # A housing that keeps the air as warm as assumed.
    "case": {"case_power": "1 kW"},
}
FET = {"kind": "fet", "theta_ja": "42 K/W", "rds_on": {"max": "2 mohm"}, "hot_rds_on": "180 %", "gate_charge": "100 nC"}


def heat(
    carries: str,
    load: dict[str, Any],
    *,
    staged: bool = False,
    fets: int = 1,
    settings: dict[str, Any] | None = None,
    duration: str | None = None,
) -> OnHeat:
    """Heat in RUN of the first of some equal FETs, with one load of 10 A in the module whose current passes them."""
    refs = [f"Q{number}" for number in range(1, fets + 1)]
    devices: dict[str, Any] = {
        ref: {"part": "fet", "carries": carries} | ({} if ref == "Q1" else {"in_parallel_with": "Q1"}) for ref in refs
    }
    devices["U3"] = {"behind_reverse_fet": True}
    change: dict[str, Any] = {
        "proposal": {
            "loads": {
                "L1": {"test_current": "10 A", "time_share": {"PARK": "0 %", "RUN": "100 %"}} | load,
                "L2": {"time_share": {"RUN": "0 %"}},
            },
            "modes": {"RUN": {"duration": duration} if duration else {}},
            "settings": settings or {},
            "variants": {"V": {"modules": {"M": {"devices": devices}}}},
        },
        "parts": {**NO_ELECTRONICS, "fet": FET},
    }
    merge(change, {"parts": {"switch": {"gate_current": "1 A"}}})
    if staged:
        placements = {"L1": {"stage": [f"M.{ref}" for ref in refs]}}
        merge(change, {"proposal": {"variants": {"V": {"placements": placements}}}})
    snapshot = snapshot_of(changed(change))
    electrics = Electrics(snapshot, VARIANT, serving_of(snapshot.proposal.variants[VARIANT], snapshot.proposal.loads))
    return next(own for own in electrics.fet_heat_max["M"]["Q1"] if own.mode == "RUN")


FAN = {"kind": "fan", "drive": "GDF", "pwm_frequency": "18 kHz", "pwm_duty": {"RUN": "50 %"}}
VALVE = {**FAN, "kind": "prop_valve", "resistance": "1.35 ohm", "inductance": "5 mH"}
MOTOR = {**FAN, "kind": "motor"}
PULSED = {"pwm_frequency": "100 Hz", "pwm_duty": {"RUN": "50 %"}, "drive": "HSP"}


@pytest.mark.parametrize(
    ("carries", "load", "share"),
    [
        ("feed", {}, 1.0),
        # Effective current of a switched heater; mean of what is behind a capacitor.
        ("feed", PULSED, 0.5),
        ("load", {**MOTOR}, 0.5),
        ("freewheel", MOTOR, 0.5),
        ("freewheel", FAN, 0.5 * 0.5**3),
        ("freewheel", VALVE, 0.5 * 0.5**2),
        # A second of a hundred heats by a tenth.
        ("feed", {"on_time_max": "1 s", "time_share": {"PARK": "0 %", "RUN": "1 %"}}, 0.1),
    ],
    ids=["on", "under PWM", "high side", "motor", "fan", "valve", "for a second"],
)
def test_conduction(carries: str, load: dict[str, Any], share: float) -> None:
    """Conduction is the square of the full current times the on-resistance, by the share of its waveform."""
    found = heat(carries, load, staged=carries != "feed")
    assert found.conduction_w == pytest.approx(FULL_A**2 * OHM * share)
    cold = FULL_A**2 * OHM * share
    if found.switching_w == 0:
        balanced = (AIR_DEGC + 42 * cold * (1 - 25 * SLOPE)) / (1 - 42 * cold * SLOPE)
        assert found.junction_degc == pytest.approx(balanced)


def test_the_feed_of_a_fan_under_pwm_is_smooth() -> None:
    """In front of a power stage flows the mean, by the fan's law of duty."""
    assert heat("feed", FAN, staged=True).conduction_w == pytest.approx((FULL_A * 0.5**2.5) ** 2 * OHM)


def test_a_mode_that_soon_ends_limits_the_smooth_feed() -> None:
    """A second of a hundred heats by a tenth there too."""
    short = heat("feed", FAN, staged=True, duration="1 s").conduction_w
    assert short == pytest.approx((FULL_A * 0.5**2.5) ** 2 * OHM * 0.1)


def test_edges_by_gate_charge_and_gate_current() -> None:
    """100 nC by 1 A are 100 ns an edge: half of voltage times current in both, 18,000 times a second."""
    found = heat("load", FAN, staged=True)
    assert found.switching_w == pytest.approx(HIGH_V * FULL_A / 2 * 200e-9 * 18_000)
    assert heat("freewheel", FAN, staged=True).switching_w == 0


def test_two_in_parallel_have_a_quarter_of_the_conduction_each() -> None:
    """And half of the switching."""
    one, two = heat("load", FAN, staged=True), heat("load", FAN, staged=True, fets=2)
    assert isinstance(one.conduction_w, float)
    assert isinstance(one.switching_w, float)
    assert two.conduction_w == pytest.approx(one.conduction_w / 4)
    assert two.switching_w == pytest.approx(one.switching_w / 2)


def test_a_thermal_time_counts_by_its_square_root() -> None:
    """Four times the thermal time halves the heat of a single second."""
    load = {"on_time_max": "1 s", "time_share": {"PARK": "0 %", "RUN": "1 %"}}
    slow = heat("feed", load, settings={"limits": {"thermal_time": "400 s"}})
    assert slow.conduction_w == pytest.approx(FULL_A**2 * OHM * 0.05)
