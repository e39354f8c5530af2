"""On-current of every load kind over the supply voltage, against formulas written down apart from the engine.

Which behaviour a kind has is common practice, no source; a load list may say otherwise. Currents are those of a load
that draws 2 A at the test voltage; filament lamps are rated 55 W at 13.2 V and 70 W at 28 V.
"""

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.load_current import load_columns, typical_currents
from bomtui.model.load import BEHAVIOURS, LOAD_KINDS, Load
from bomtui.model.vehicle import Mode, Vehicle

TEST_A = 2.0
SYSTEMS = {"12 V": (13.5, 55.0, 13.2, (9.0, 12.0, 13.5, 16.0)), "24 V": (28.0, 70.0, 28.0, (16.0, 24.0, 28.0, 32.0))}

# Exponent of the current over voltage. Filament: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed.,
# p. 22-8 (seen second-hand); the others follow from Ohm's law, from P = V I, and from a regulated current.
EXPONENTS = {"resistive": 1.0, "filament": 0.55, "constant_power": -1.0, "constant_current": 0.0, "pulsed": 0.0}

KINDS = {
    "filament": "filament",
    "led_lamp": "constant_power",  # behind its own converter
    "led_string": "constant_power",  # behind a buck or boost driver, seen from the battery
    "motor": "resistive",  # at constant torque a motor at a higher voltage runs faster; counted as a resistance
    "fan": "resistive",
    "stepper": "constant_current",  # its driver regulates the phase current
    "solenoid": "resistive",
    "prop_valve": "resistive",  # its largest current; the regulated one is smaller
    "injector": "pulsed",
    "coil": "resistive",  # end of a dwell of given length
    "relay": "resistive",
    "heater": "resistive",
    "ptc_heater": "resistive",  # at the moment of switching on; warm it regulates itself
    "glow_plug": "resistive",
    "horn": "resistive",
    "speaker": "constant_power",  # programme power behind an amplifier
    "display": "constant_power",
    "sensor": "constant_current",
    "switch": "constant_current",  # wetting current source
    "rf": "constant_power",
    "smart": "constant_power",
    "module": "constant_power",
}


def test_every_kind_and_behaviour_is_swept() -> None:
    """No kind of load and no behaviour is left out."""
    assert set(KINDS) == set(LOAD_KINDS)
    assert set(KINDS.values()) == set(BEHAVIOURS) == set(EXPONENTS)


@pytest.mark.parametrize("supply", SYSTEMS)
@pytest.mark.parametrize("kind", LOAD_KINDS)
def test_current_over_voltage(kind: str, supply: str) -> None:
    """At each voltage of the range the current is reference x (V / V reference) ^ exponent of the behaviour."""
    test_v, rated_w, rated_v, sweep_v = SYSTEMS[supply]
    behaviour = KINDS[kind]
    lamp = behaviour == "filament"
    load = Load(
        subsystem="S",
        kind=kind,
        behaviour=behaviour,
        test_current_a=None if lamp else TEST_A,
        rated_power_w=rated_w if lamp else None,
        rated_voltage_v=rated_v if lamp else None,
    )
    columns = load_columns(PLAIN, {"L": load}, Vehicle(supply=supply, test_voltage_v=test_v))
    at_reference_a, reference_v = (rated_w / rated_v, rated_v) if lamp else (TEST_A, test_v)
    for supply_v in sweep_v:
        expected = at_reference_a * (supply_v / reference_v) ** EXPONENTS[behaviour]
        (found,) = typical_currents(PLAIN, columns, Mode(supply_nominal_v=supply_v))
        assert found == pytest.approx(expected, rel=1e-12), supply_v
