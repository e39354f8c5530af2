"""Closed forms of turn-off, PWM and inrush against transients that ngspice computes."""

from pathlib import Path

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.clamp import clamp_energy_j, clamp_heat_w, clamp_time_s, cycled_heat_w
from bomtui.engine.heat import conduction_w, inductive_switching_w, resistive_switching_w
from bomtui.engine.inrush import capacitor_inrush_a, filament_inrush_a
from bomtui.model.load import Load
from tests.simulated.ngspice import measured

pytestmark = pytest.mark.slow

IDEAL_DIODE = ".model ideal D(IS=1e-9 N=0.005)"

# Clamp voltage, supply, inductance, resistance, current: a relay, the engine stop solenoid and a valve of the samples.
COILS = [
    (41.0, 14.0, 10e-3, 7.0, 2.0),
    (65.0, 28.0, 60e-3, 11.0, 2.4),
    (60.0, 28.0, 60e-3, 18.0, 1.2),
    (60.0, 24.0, 48.4e-3, 50.0, 0.48),
]


@pytest.mark.parametrize(("clamp_v", "supply_v", "inductance_h", "resistance_ohm", "current_a"), COILS)
def test_turn_off_against_a_clamp(
    clamp_v: float, supply_v: float, inductance_h: float, resistance_ohm: float, current_a: float, tmp_path: Path
) -> None:
    """Energy and time of a coil that is turned off are those of the transient, within 1 %."""
    energy_j = clamp_energy_j(clamp_v, supply_v, inductance_h, resistance_ohm, current_a)
    time_s = clamp_time_s(clamp_v, supply_v, inductance_h, resistance_ohm, current_a)
    found = measured(
        f"""Vb b 0 DC {supply_v}
L1 b x {inductance_h} IC={current_a}
R1 x sw {resistance_ohm}
D1 sw k ideal
Vcl k 0 DC {clamp_v}
{IDEAL_DIODE}
.tran {time_s / 5000} {time_s * 1.5} UIC
.meas tran charge INTEG i(Vcl)
.meas tran empty WHEN i(Vcl)={current_a / 1000} FALL=1""",
        tmp_path,
    )
    assert found["charge"] * clamp_v == pytest.approx(energy_j, rel=0.01)
    assert found["empty"] == pytest.approx(time_s, rel=0.01)


def test_clamping_at_every_cycle(tmp_path: Path) -> None:
    """A valve at 80 % of 150 Hz is not empty when it is turned on again: its switch takes what the steady state says.

    That is less than turning off the full current each time.
    """
    frequency_hz, duty = 150.0, 0.8
    bound_w = clamp_heat_w(clamp_energy_j(60.0, 28.0, 60e-3, 18.0, 28.0 / 18.0), frequency_hz)
    period_s = 1 / frequency_hz
    found = measured(
        f"""Vb b 0 DC 28
L1 b x 60m IC=0
R1 x sw 18
D1 sw k ideal
Vcl k 0 DC 60
S1 sw 0 g 0 fet
Vg g 0 PULSE(0 1 0 1u 1u {duty * period_s} {period_s})
.model fet SW(RON=1m ROFF=100meg VT=0.5 VH=0.1)
{IDEAL_DIODE}
.tran 2u {40 * period_s} UIC
.meas tran charge INTEG i(Vcl) FROM={20 * period_s} TO={40 * period_s}""",
        tmp_path,
    )
    heat_w = found["charge"] * 60.0 / (20 * period_s)
    assert heat_w < bound_w
    valve = Load(subsystem="S", kind="prop_valve", resistance_ohm=18.0, inductance_h=60e-3, pwm_frequency_hz=150.0)
    assert cycled_heat_w(PLAIN, valve, 60.0, 28.0, duty, None) == pytest.approx(heat_w, rel=0.01)


def test_conduction_under_pwm_with_a_freewheel_path(tmp_path: Path) -> None:
    """A coil whose current hardly ripples heats the switch by I squared times R times the duty, within 1 %."""
    frequency_hz, duty, rds_on_ohm = 5000.0, 0.4, 0.05
    period_s = 1 / frequency_hz
    found = measured(
        f"""Vb b 0 DC 28
L1 b x 60m IC=0.61
R1 x sw 18
D1 sw b ideal
S1 sw 0 g 0 fet
Vg g 0 PULSE(0 1 0 0.1u 0.1u {duty * period_s} {period_s})
.model fet SW(RON={rds_on_ohm} ROFF=100meg VT=0.5 VH=0.1)
{IDEAL_DIODE}
.tran 0.5u {150 * period_s} UIC
.meas tran coil AVG i(L1) FROM={100 * period_s} TO={150 * period_s}
.meas tran loss AVG par('v(sw)*v(sw)/{rds_on_ohm}*(v(g)>0.5)') FROM={100 * period_s} TO={150 * period_s}""",
        tmp_path,
    )
    assert found["coil"] == pytest.approx(duty * 28.0 / 18.0, rel=0.02)
    assert found["loss"] == pytest.approx(conduction_w(found["coil"], rds_on_ohm, duty), rel=0.01)


def test_edges_of_a_resistive_and_of_an_inductive_load(tmp_path: Path) -> None:
    """A linear edge of 110 us takes a sixth of V I t from a heater and half of it where the current does not fall."""
    rise_s, period_s = 110e-6, 10e-3
    edge = f"PWL(0 28 {rise_s} 0 {period_s - rise_s} 0 {period_s} 28)"
    found = measured(
        f"""Vb b 0 DC 28
R1 b r 2.5
Vr r 0 {edge}
I1 b c DC 11.2
Vc c 0 {edge}
.tran 1u {period_s}
.meas tran heater INTEG par('v(r)*i(Vr)')
.meas tran motor INTEG par('v(c)*i(Vc)')""",
        tmp_path,
    )
    frequency_hz = 1 / period_s
    heater_w = resistive_switching_w(28.0, 11.2, 1, 1, rise_s, rise_s, frequency_hz, 1.0)
    motor_w = inductive_switching_w(28.0, 11.2, 1, 1, rise_s, rise_s, frequency_hz, 1.0)
    assert found["heater"] * frequency_hz == pytest.approx(heater_w, rel=0.01)
    assert found["motor"] * frequency_hz == pytest.approx(motor_w, rel=0.01)


def test_inrush_of_a_capacitor(tmp_path: Path) -> None:
    """100 uF behind an edge of 20 us take C V / t, within 2 %."""
    found = measured(
        """Vs s 0 PWL(0 0 20u 14.6)
R1 s c 1m
C1 c 0 100u IC=0
.tran 0.05u 30u UIC
.meas tran peak MAX par('-i(Vs)')""",
        tmp_path,
    )
    assert found["peak"] == pytest.approx(capacitor_inrush_a(100e-6, 14.6, 20e-6), rel=0.02)


def test_inrush_of_a_cold_filament(tmp_path: Path) -> None:
    """A lamp whose resistance grows as it heats draws at first what its cold resistance and the loop let through."""
    steady_a, supply_v, loop_ohm = 2.05, 14.6, 0.05
    hot_ohm = supply_v / steady_a
    found = measured(
        f"""Vs s 0 DC {supply_v}
R1 s l {loop_ohm}
B1 l 0 I=v(l)/({hot_ohm / 15}+{hot_ohm * 14 / 15}*(1-exp(-time/10m)))
.tran 10u 80m UIC
.meas tran first MAX par('-i(Vs)')
.meas tran last FIND par('-i(Vs)') AT=79m""",
        tmp_path,
    )
    assert found["first"] == pytest.approx(filament_inrush_a(supply_v, steady_a, 15.0, loop_ohm), rel=0.02)
    assert found["last"] == pytest.approx(steady_a, rel=0.02)
