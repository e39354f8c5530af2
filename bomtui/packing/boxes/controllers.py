"""Whether a controller can take a whole module: pins by the flow of the pin matching, memories, computing time."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import msgspec

from bomtui.engine.calc import PLAIN
from bomtui.engine.pins import ControllerPins, pins_by_controller
from bomtui.engine.reserve import free, free_core_ratio, free_memory_ratio
from bomtui.engine.serving import serving_of
from bomtui.engine.software import Software, software_on
from bomtui.model.bound import Range, Value, ends, exceeds
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.quantity import display
from bomtui.model.variant import Device, Module


@dataclass(frozen=True, slots=True)
class Ground:
    """One reason against something.

    Attributes:
        words: What is said, with the numbers.
        name: What is short.
        short: How much of it.
        share: The same as a share of what is there: which ground is nearest to going away.
    """

    words: str
    name: str
    short: float
    share: float


@dataclass(frozen=True, slots=True)
class Fitting:
    """A controller in the place of one of a module.

    Attributes:
        part: Its catalog key.
        grounds: Why it cannot take the module; empty where it can, as far as is known.
        has_reserve: Whether pins, memories and time stay free as settings ask.
        software: What the software takes of it.
    """

    part: str
    grounds: tuple[Ground, ...]
    has_reserve: bool
    software: Software


@dataclass(frozen=True, slots=True)
class Asked:
    """What a controller of a module is asked for.

    Attributes:
        snapshot: The proposal with the module as it would be.
        variant: The variant.
        module_id: The module.
        ref: The controller.
        software: Controllers whose software it takes, its own included, by address as they are now.
        parts: Parts by catalog key, those included that are not frozen.
    """

    snapshot: Snapshot
    variant: str
    module_id: str
    ref: str
    software: tuple[tuple[str, Device], ...]
    parts: Mapping[str, Part]

    def module(self) -> Module:
        """Return the module."""
        return self.snapshot.proposal.variants[self.variant].modules[self.module_id]


def fitting(asked: Asked, key: str) -> Fitting:
    """Try a controller in the place of the one that a module has.

    Args:
        asked: What it is asked for.
        key: Catalog key of the controller.
    """
    part = asked.parts[key]
    pins = _pins(asked, key)
    software = software_on(PLAIN, part, asked.software, asked.parts)
    grounds = (*_pin_grounds(pins), *_memory_grounds(part, software))
    return Fitting(key, grounds, not grounds and _has_reserve(asked, part, pins, software), software)


def candidates(asked: Asked) -> tuple[str, ...]:
    """Return the controllers that could be wired where one of a module is: with the same supply inputs."""
    own = asked.parts.get(asked.module().devices[asked.ref].part)
    if own is None:
        return ()
    return tuple(
        key
        for key in sorted(asked.parts)
        if asked.parts[key].kind == own.kind and _supplies(asked.parts[key]) == _supplies(own)
    )


def _supplies(part: Part) -> dict[str, float | None]:
    return {name: need.voltage_v for name, need in part.supplies.items()}


def _pins(asked: Asked, key: str) -> tuple[ControllerPins, ...]:
    variant = asked.snapshot.proposal.variants[asked.variant]
    loads = asked.snapshot.proposal.loads
    module = asked.module()
    device = msgspec.structs.replace(module.devices[asked.ref], part=key)
    module = msgspec.structs.replace(module, devices={**module.devices, asked.ref: device})
    served = serving_of(variant, loads).per_module[asked.module_id]
    on: dict[str, list[Load]] = {}
    for own in served:
        for ref in dict.fromkeys(address.device for address in own.channels):
            on.setdefault(ref, []).append(loads[own.load_id])
    every = [loads[own.load_id] for own in served]
    return pins_by_controller(module, asked.parts, on, every, asked.snapshot.proposal.settings)[0]


def _pin_grounds(pins: tuple[ControllerPins, ...]) -> Iterator[Ground]:
    for entry in pins:
        for functions, missing in entry.short.items():
            needed = sum(entry.needs[name] for name in functions.split("+"))
            there = needed - missing
            names = functions.replace("+", " or ")
            words = f"short {missing} of the pins for {names} (needs {needed}, has {there})"
            yield Ground(words, f"{functions} pins", float(missing), missing / max(there, 1))


def _memory_grounds(part: Part, software: Software) -> Iterator[Ground]:
    # Without a program memory of its own a controller runs from a chip beside it.
    if part.flash_byte != 0:
        yield from _too_much("program memory", "data_size", software.flash_byte, part.flash_byte)
    yield from _too_much("working memory", "data_size", software.ram_byte, part.ram_byte)
    yield from _too_much("computing time", "ratio", software.core_load_ratio, 1.0)


def _too_much(name: str, dimension: str, need: Value, there: float | None) -> Iterator[Ground]:
    if need is None or there is None or not exceeds(need, there):
        return
    low = ends(need)[0]
    words = f"{name}: needs {'at least ' if isinstance(need, Range) else ''}{_text(low, dimension)}, has"
    yield Ground(f"{words} {_text(there, dimension)}", name, low - there, (low - there) / there if there else 1.0)


def _text(value: float, dimension: str) -> str:
    return display(value, dimension, digits=3, unicode=False)


def _has_reserve(asked: Asked, part: Part, pins: tuple[ControllerPins, ...], software: Software) -> bool:
    limits = asked.snapshot.proposal.settings.limits
    total = sum(entry.total for entry in pins if entry.total is not None)
    used = sum(sum(entry.needs.values()) for entry in pins)
    shares = [
        (free(PLAIN, total, used, "controller pins"), limits.spare_pins_ratio),
        (PLAIN(free_memory_ratio, there_byte=part.ram_byte, need_byte=software.ram_byte), limits.spare_ram_ratio),
        (PLAIN(free_core_ratio, core_load_ratio=software.core_load_ratio), limits.spare_core_ratio),
    ]
    if part.flash_byte != 0:
        flash = PLAIN(free_memory_ratio, there_byte=part.flash_byte, need_byte=software.flash_byte)
        shares.append((flash, limits.spare_flash_ratio))
    return all(share is not None and exceeds(limit, share) is False for share, limit in shares)
