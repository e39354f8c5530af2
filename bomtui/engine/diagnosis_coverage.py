"""How many of the loads whose faults must be seen hang on drivers that see them."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.engine.capability import asks_something
from bomtui.engine.electrics import Electrics
from bomtui.engine.fit import Given, compare
from bomtui.engine.serving import Served
from bomtui.model.bound import Range, Value
from bomtui.model.load import Load


@formula("seen / needed", "1", "share of the loads whose required faults are seen (definition)")
def coverage_ratio(seen: float, needed: float) -> float:
    """Share of loads whose required faults their drivers see.

    Args:
        seen: Loads whose faults are seen.
        needed: Loads whose faults must be seen, above 0.

    Source: definition.
    """
    return seen / needed


@dataclass(frozen=True, slots=True)
class Coverage:
    """One group of loads whose faults must be seen.

    Attributes:
        is_safety: Whether their functions ask for an integrity level.
        needed: The loads.
        open: Those of which it is not known whether all required faults are seen.
        ratio: Share of them whose faults are seen; a range where some are open.
    """

    is_safety: bool
    needed: tuple[str, ...]
    open: tuple[str, ...]
    ratio: Value


def coverages(electrics: Electrics) -> Iterator[Coverage]:
    """Yield the coverage of loads that ask for an integrity level, and of all others; only groups that have loads.

    Args:
        electrics: Figures of the variant.
    """
    loads = electrics.proposal.loads
    served = {
        own.load_id: (module_id, own) for module_id, all_own in electrics.serving.per_module.items() for own in all_own
    }
    states = {
        load_id: _is_seen(electrics, load, *served[load_id]) if load_id in served else None
        for load_id, load in loads.items()
        if load.diagnosis
    }
    for is_safety in (True, False):
        needed = tuple(
            load_id
            for load_id in states
            if asks_something(loads[load_id].safety_scheme, loads[load_id].safety) is is_safety
        )
        if needed:
            unknown = tuple(load_id for load_id in needed if states[load_id] is None)
            seen = sum(states[load_id] is True for load_id in needed)
            yield Coverage(is_safety, needed, unknown, _ratio(electrics.calc, seen, unknown, len(needed)))


def _ratio(calc: Gate, seen: int, unknown: tuple[str, ...], needed: int) -> Value:
    least: Value = calc.given(float(seen), "loads whose faults are seen")
    if unknown:
        names = frozenset(f"diagnosis of {load_id}" for load_id in unknown)
        least = Range(float(seen), float(seen + len(unknown)), names)
    return calc(coverage_ratio, seen=least, needed=calc.given(float(needed), "loads whose faults must be seen"))


def _is_seen(electrics: Electrics, load: Load, module_id: str, own: Served) -> bool | None:
    """Tell whether every device that serves a load sees its faults; None where that is not known."""
    module = electrics.variant.modules[module_id]
    states: list[bool | None] = []
    for ref, _ in own.devices:
        device = module.devices.get(ref)
        part = None if device is None else electrics.snapshot.parts.get(device.part)
        found = compare("diagnosis", load, Given(part, len(own.channels)), electrics.proposal.settings)
        states.append(None if found is None else found.fits)
    if not states or None in states:
        return False if False in states else None
    return all(states)
