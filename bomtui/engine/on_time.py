"""The shortest on-time that PWM asks of a channel, against the time that the channel needs to switch on."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.engine.electrics import Electrics
from bomtui.engine.inrush import LIMITING_KINDS
from bomtui.model.bound import Value
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import Load
from bomtui.model.part import Part

STAND_IN = "as stand-in"
"""What stands in place of a mode where a load is dimmed because it takes over from another one."""


@formula("duty_ratio / frequency_hz", "s", "definition of duty")
def on_time_s(duty_ratio: float, frequency_hz: float) -> float:
    """On-time of one PWM period.

    Args:
        duty_ratio: PWM duty.
        frequency_hz: PWM frequency [Hz], above 0.

    Source: definition.
    """
    return duty_ratio / frequency_hz


@formula("edges * (delay_time_s + rise_time_s)", "s", "delay and edge of a switch (common practice, no source)")
def least_on_time_s(edges: int, delay_time_s: float, rise_time_s: float) -> float:
    """On-time that a channel needs for a duty that is about right.

    Args:
        edges: How many delays and edges must fit into it.
        delay_time_s: From input to edge [s].
        rise_time_s: Switch-on edge [s].

    Source: common practice, no source.
    """
    return edges * (delay_time_s + rise_time_s)


@dataclass(frozen=True, slots=True)
class Dimmed:
    """A load under PWM on a device.

    Attributes:
        load_id: The load.
        device: Address of the device.
        part: Its part; None where nothing is known of it.
        on_s: On-time per mode, and as a stand-in.
    """

    load_id: str
    device: Address
    part: Part | None
    on_s: Mapping[str, Value]


def dimmed(electrics: Electrics) -> Iterator[Dimmed]:
    """Yield every load that is, or may come to be, dimmed by a channel that switches its current."""
    calc = electrics.calc
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        for own in electrics.serving.per_module[module_id]:
            load = electrics.proposal.loads[own.load_id]
            duties = _duties(electrics, own.load_id, load)
            if own.stage or not duties:
                continue
            on_s = {
                mode: calc(on_time_s, duty_ratio=duty, frequency_hz=load.pwm_frequency_hz)
                for mode, duty in duties.items()
            }
            for ref, _ in own.devices:
                device = electrics.variant.modules[module_id].devices.get(ref)
                part = None if device is None else electrics.snapshot.parts.get(device.part)
                if part is None or part.kind in LIMITING_KINDS:
                    yield Dimmed(own.load_id, Address(module_id, ref), part, on_s)


def _duties(electrics: Electrics, load_id: str, load: Load) -> dict[str, float]:
    """Return the duties below fully on at which a load is on."""
    duties = {mode: load.pwm_duty_ratio.get(mode) for mode in electrics.awake if load.time_share_ratio.get(mode) != 0}
    found = {mode: duty for mode, duty in duties.items() if duty is not None and 0 < duty < 1}
    for pair in electrics.proposal.pairs.values():
        duty = pair.stand_in_duty_ratio
        if pair.stand_in == load_id and duty is not None and 0 < duty < 1:
            found[STAND_IN] = min(duty, found.get(STAND_IN, duty))
    return found


def least_on_time(calc: Gate, part: Part | None, edges: int) -> Value:
    """Return the shortest on-time [s] into which some delays and switch-on edges of a part fit, the longest of them."""
    if part is None:
        return None
    return calc(least_on_time_s, edges=edges, delay_time_s=part.delay_time_s, rise_time_s=part.rise_time_s.upper)
