"""Chips of one part in one zone whose loads fewer of them would carry, as far as channels alone say it."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.rollup import ModuleResult
from bomtui.model.variant import Variant


@dataclass(frozen=True, slots=True)
class Pool:
    """Drivers of one part in one zone.

    Attributes:
        zone: The zone.
        part: Catalog key.
        devices: Addresses of the chips.
        used: Channels in use on all of them.
        channels: Channels of one; None where unknown.
    """

    zone: str
    part: str
    devices: tuple[str, ...]
    used: int
    channels: int | None

    @property
    def least(self) -> int | None:
        """How many chips have as many channels as are in use; None where nobody knows how many one has."""
        return -(-self.used // self.channels) if self.channels else None


def pools(variant: Variant, results: Mapping[str, ModuleResult], parts: Mapping[str, Part]) -> list[Pool]:
    """Return the drivers of each zone by their part, where there are several of one."""
    found: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for module_id, result in results.items():
        for device in result.devices:
            part = parts.get(device.part)
            if part is not None and part.kind in DRIVER_KINDS:
                key = (variant.modules[module_id].zone, device.part)
                found.setdefault(key, []).append((f"{module_id}.{device.ref}", device.channels_used))
    return [
        Pool(zone, key, tuple(address for address, _ in own), sum(used for _, used in own), parts[key].channels)
        for (zone, key), own in sorted(found.items())
        if len(own) > 1
    ]
