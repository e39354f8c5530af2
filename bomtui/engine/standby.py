"""Standby current of a module: what its parts and its loads draw while the vehicle is parked."""

from collections.abc import Mapping, Sequence

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.settings import Standby
from bomtui.model.variant import Module

SWITCHED_TERMINAL = "15"
"""Terminal that is without voltage while the vehicle is parked (DIN 72552)."""


@formula(
    "current_a * time_share_ratio * sleep_share_ratio",
    "A",
    "mean of a pulsed current (definition); shares are load data",
)
def sleeping_load_current_a(current_a: float, time_share_ratio: float, sleep_share_ratio: float) -> float:
    """Mean current of a load that is pulsed or woken periodically while parked.

    Args:
        current_a: Current [A] while on.
        time_share_ratio: Share of the parked time in which it is in use.
        sleep_share_ratio: Share left by pulsing or periodic wake.

    Source: mean over time (definition).
    """
    return current_a * time_share_ratio * sleep_share_ratio


def module_standby(
    calc: Gate, module_id: str, module: Module, parts: Mapping[str, Part], settings: Standby, *, worst: bool
) -> Value:
    """Add up the standby currents of a module's parts.

    Which kinds count always, and which only in a module that is kept alive, is a setting; a part of any other kind
    counts as switched off, and so does a device on terminal 15, which the ignition takes from the battery.

    Args:
        calc: Gate.
        module_id: Id of the module, for names.
        module: The module.
        parts: Frozen parts by key.
        settings: Which kinds count.
        worst: Take the largest currents, else the typical ones.
    """
    kinds = {*settings.counted, *(settings.counted_when_kept_alive if module.keep_alive else ())}
    keys: list[str] = []
    values: list[Value] = []
    for ref, device in module.devices.items():
        part = parts.get(device.part)
        if device.terminal == SWITCHED_TERMINAL:
            continue
        if part is None:
            keys.append(f"{module_id}.{ref} parts.{device.part}")
            values.append(None)
        elif part.kind in kinds:
            keys.append(f"{module_id}.{ref} standby_current")
            values.append(part.standby_current_a.upper if worst else part.standby_current_a.middle)
    for key in module.items:
        part = parts.get(key)
        if part is None or part.kind in kinds:
            # A part without a reference is no chip that somebody has placed: its state while parked is not known.
            keys.append(f"{module_id} items.{key}")
            values.append(None)
    return calc.total(keys, values)


def sleeping_currents(
    calc: Gate, ids: Sequence[str], loads: Sequence[Load], currents: Sequence[Value], parked_mode: str
) -> dict[str, Value]:
    """Return what each load draws while the vehicle is parked [A]; one that is off then is left out.

    Args:
        calc: Gate.
        ids: Ids of the loads.
        loads: The loads.
        currents: On-current of each load [A] in the parked mode.
        parked_mode: Id of the parked mode; empty where the vehicle names none.
    """
    found: dict[str, Value] = {}
    for load_id, load, current in zip(ids, loads, currents, strict=True):
        share = load.time_share_ratio.get(parked_mode)
        if share is None or share > 0:
            found[load_id] = calc(
                sleeping_load_current_a,
                current_a=current,
                time_share_ratio=share,
                sleep_share_ratio=load.sleep_share_ratio,
            )
    return found


def loads_standby(
    calc: Gate, ids: Sequence[str], loads: Sequence[Load], currents: Sequence[Value], parked_mode: str
) -> Value:
    """Add up what loads draw while the vehicle is parked; for the arguments see `sleeping_currents`."""
    drawn = sleeping_currents(calc, ids, loads, currents, parked_mode)
    return calc.total([f"loads.{load_id}" for load_id in drawn], list(drawn.values()))
