"""What software takes of another controller than the one that it was planned for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.part import Part
from bomtui.model.variant import Device


@formula(
    "core_load_ratio * core_frequency_hz / new_frequency_hz", "", "as much work per clock (common practice, no source)"
)
def moved_core_load_ratio(core_load_ratio: float, core_frequency_hz: float, new_frequency_hz: float) -> float:
    """Share of its computing time that software takes of another controller.

    Cores differ in what they do per clock; before software has run on the new one, its clock is all that is known.

    Args:
        core_load_ratio: Share that it takes of the former controller.
        core_frequency_hz: Clock of that one [Hz].
        new_frequency_hz: Clock of the new one [Hz], above 0.

    Source: common practice, no source.
    """
    return core_load_ratio * core_frequency_hz / new_frequency_hz


@dataclass(frozen=True, slots=True)
class Software:
    """What the software of one controller takes, that of several others included.

    Attributes:
        flash_byte: Program memory [byte]; None where that of one of them is unknown.
        ram_byte: Working memory [byte]; likewise.
        core_load_ratio: Share of its computing time; likewise.
    """

    flash_byte: Value
    ram_byte: Value
    core_load_ratio: Value


def software_on(
    calc: Gate, part: Part | None, devices: Sequence[tuple[str, Device]], parts: Mapping[str, Part]
) -> Software:
    """Return what the software of some controllers takes of one in place of them all.

    Args:
        calc: Gate.
        part: That controller; None where nothing is known of it.
        devices: The controllers now, each with its address.
        parts: Parts by catalog key.
    """
    names = [name for name, _ in devices]
    loads = [_moved(calc, device, parts.get(device.part), part) for _, device in devices]
    return Software(
        flash_byte=calc.total(names, [device.flash_need_byte for _, device in devices]),
        ram_byte=calc.total(names, [device.ram_need_byte for _, device in devices]),
        core_load_ratio=calc.total(names, loads),
    )


def _moved(calc: Gate, device: Device, former: Part | None, part: Part | None) -> Value:
    if former is not None and former is part:
        return device.core_load_ratio
    return calc(
        moved_core_load_ratio,
        core_load_ratio=device.core_load_ratio,
        core_frequency_hz=None if former is None else former.core_frequency_hz,
        new_frequency_hz=None if part is None else part.core_frequency_hz,
    )
