"""Small memories for settings that a controller's own data flash could hold."""

from collections.abc import Iterator

from bomtui.edit.edits.device import RemoveDevice
from bomtui.model.quantity import display
from bomtui.packing.chips.candidate import Candidate, Chip, Ground
from bomtui.packing.chips.controllers import CONTROLLER

FAMILY = "EEPROM"
"""Family of memories that data flash stands in for."""


def memories(ground: Ground) -> Iterator[Candidate]:
    """Yield every small memory beside a controller with data flash.

    How much it holds is text for people, and what is kept in it no field says: both are told, not judged.
    """
    for module_id in ground.modules:
        chips = list(ground.chips(module_id))
        controllers = [chip for chip in chips if chip.part.kind == CONTROLLER]
        for chip in chips:
            if chip.part.kind == "memory" and chip.part.family == FAMILY:
                controller = _largest(controllers)
                if controller is not None:
                    yield _candidate(ground, chip, controller)


def _largest(controllers: list[Chip]) -> Chip | None:
    return max(
        (chip for chip in controllers if chip.part.data_flash_byte),
        key=lambda chip: chip.part.data_flash_byte or 0.0,
        default=None,
    )


def _candidate(ground: Ground, chip: Chip, controller: Chip) -> Candidate:
    there = display(controller.part.data_flash_byte or 0.0, "data_size", unicode=False)
    size = chip.part.size or "an unknown size"
    unsure = (f"what {chip.address} ({size}) keeps has to find room in {there} of data flash, and its writes with it",)
    remove = RemoveDevice(variant=ground.variant_id, module_id=chip.module, ref=chip.ref)
    what = f"{chip.address} {chip.device.part} goes; the data flash of {controller.address} keeps what it kept"
    return Candidate("companion", chip.address, chip.module, what, (remove,), (), unsure)
