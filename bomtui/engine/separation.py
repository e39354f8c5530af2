"""Loads that belong on separate chips, and the chips that serve two of them all the same."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.common_cause import ServedBy, is_apart, served_by
from bomtui.model.finding import Severity
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal
from bomtui.model.separation import DEFAULT_SEPARATIONS
from bomtui.model.variant import Variant

OWN_WISH = "the proposal keeps them apart"


@dataclass(frozen=True, slots=True)
class Separation:
    """Loads that are kept apart from other ones for one reason.

    Attributes:
        loads: The loads, in natural order.
        others: The others, in natural order.
        why: What fails together otherwise.
        severity: How bad a common chip is.
    """

    loads: tuple[str, ...]
    others: tuple[str, ...]
    why: str
    severity: Severity


@dataclass(frozen=True, slots=True)
class Common:
    """A device that serves loads of both sides, and which ones."""

    device: str
    loads: tuple[str, ...]
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Together:
    """What is known of loads that are kept apart.

    Attributes:
        on: Devices that serve loads of both sides.
        open: Per load those of the other side of which it is not known.
    """

    on: tuple[Common, ...]
    open: Mapping[str, tuple[str, ...]]


def role_of(proposal: Proposal, load: Load) -> str | None:
    """Return what a load is for: as it says itself, else as its subsystem says."""
    if load.role is not None:
        return load.role
    subsystem = proposal.subsystems.get(load.subsystem)
    return None if subsystem is None else subsystem.role


def separations(proposal: Proposal) -> Iterator[Separation]:
    """Yield what is kept apart: what the trade wants, then what loads of the proposal say of themselves."""
    loads = sorted(proposal.loads, key=natural_key)
    with_role: dict[str | None, list[str]] = {}
    for load_id in loads:
        with_role.setdefault(role_of(proposal, proposal.loads[load_id]), []).append(load_id)
    for own in DEFAULT_SEPARATIONS:
        one, other = with_role.get(own.one), with_role.get(own.other)
        if one and other:
            yield Separation(tuple(one), tuple(other), own.why, own.severity)
    for load_id in loads:
        named = [other for other in proposal.loads[load_id].separate_from if other != load_id]
        if named:
            yield Separation((load_id,), tuple(sorted(named, key=natural_key)), OWN_WISH, "warning")


def together(variant: Variant, separation: Separation) -> Together:
    """Tell which loads hang on a device with one from which they are kept apart.

    Devices are those of channels, power stages and chips counted in a load; supplies and controllers are not asked.

    Args:
        variant: The variant.
        separation: What is kept apart.
    """
    served = {load_id: _served(variant, load_id) for load_id in (*separation.loads, *separation.others)}
    devices = {device for load_id in separation.loads for device in served[load_id].devices}
    on = []
    for device in sorted(devices, key=natural_key):
        loads, others = (
            tuple(load_id for load_id in side if device in served[load_id].devices)
            for side in (separation.loads, separation.others)
        )
        if others:
            on.append(Common(device, loads, others))
    unknown = {
        load_id: tuple(other for other in separation.others if _is_open(served[load_id], served[other]))
        for load_id in separation.loads
    }
    return Together(tuple(on), {load_id: others for load_id, others in unknown.items() if others})


def _is_open(one: ServedBy, other: ServedBy) -> bool:
    return is_apart(one, other) is None or not one.modules or not other.modules


def _served(variant: Variant, load_id: str) -> ServedBy:
    placement = variant.placements.get(load_id)
    if placement is None:
        return served_by(variant, load_id, (), ())
    return served_by(variant, load_id, map(parse_address, placement.on), placement.stage)
