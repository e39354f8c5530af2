"""Standby current of a module: what its parts and its loads draw while the vehicle is parked."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

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
    terms = standby_terms(module_id, module, parts, settings, worst=worst)
    return calc.total([term.name for term in terms], [term.current_a for term in terms])


class StandbyTerm(NamedTuple):
    """What one part of a module adds to its standby current.

    Attributes:
        name: Name of the value, for explanations.
        place: Reference of the device, or catalog key of an item.
        part: Catalog key.
        current_a: Its current [A]; None where it is not known.
    """

    name: str
    place: str
    part: str
    current_a: Value


def standby_terms(
    module_id: str, module: Module, parts: Mapping[str, Part], settings: Standby, *, worst: bool
) -> list[StandbyTerm]:
    """Return the standby currents of a module's parts, one by one; for the arguments see `module_standby`."""
    kinds = {*settings.counted, *(settings.counted_when_kept_alive if module.keep_alive else ())}
    terms: list[StandbyTerm] = []
    for ref, device in module.devices.items():
        part = parts.get(device.part)
        if device.terminal == SWITCHED_TERMINAL:
            continue
        if part is None:
            terms.append(StandbyTerm(f"{module_id}.{ref} parts.{device.part}", ref, device.part, None))
        elif part.kind in kinds:
            current = part.standby_current_a.upper if worst else part.standby_current_a.middle
            terms.append(StandbyTerm(f"{module_id}.{ref} standby_current", ref, device.part, current))
    for key in module.items:
        part = parts.get(key)
        if part is None or part.kind in kinds:
            # A part without a reference is no chip that somebody has placed: its state while parked is not known.
            terms.append(StandbyTerm(f"{module_id} items.{key}", key, key, None))
    return terms


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
