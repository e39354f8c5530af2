"""What the software of the demos takes of its controllers: invented, the same share of every controller."""

from collections.abc import Mapping

import msgspec

from bomtui.model.part import Part
from bomtui.model.variant import Device, Variant

FLASH, RAM, CORE = 0.55, 0.6, 0.5
"""Shares of program memory, working memory and computing time."""


def with_software(variant: Variant, catalog: Mapping[str, Part]) -> Variant:
    """Return a variant whose controllers say what their software takes."""
    modules = {
        module_id: msgspec.structs.replace(
            module,
            devices={ref: _with_software(device, catalog[device.part]) for ref, device in module.devices.items()},
        )
        for module_id, module in variant.modules.items()
    }
    return msgspec.structs.replace(variant, modules=modules)


def _with_software(device: Device, part: Part) -> Device:
    if part.kind != "controller":
        return device
    return msgspec.structs.replace(
        device,
        flash_need_byte=None if part.flash_byte is None else round(part.flash_byte * FLASH),
        ram_need_byte=None if part.ram_byte is None else round(part.ram_byte * RAM),
        core_load_ratio=CORE,
    )
