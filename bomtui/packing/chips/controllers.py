"""Another controller in the place of one: the pins, memory and ports that it needs are judged by the rules."""

from collections.abc import Iterator

from bomtui.edit.edits.device import SwapDevice
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.packing.chips.candidate import Candidate, Ground
from bomtui.packing.chips.lesser import lesser

CONTROLLER = "controller"


def controllers(ground: Ground) -> Iterator[Candidate]:
    """Yield every controller that takes the same software in the place of each one of the modules."""
    for module_id in ground.modules:
        for chip in ground.chips(module_id):
            if chip.part.kind != CONTROLLER:
                continue
            for key in sorted(ground.parts, key=natural_key):
                part = ground.parts[key]
                if key == chip.device.part or not takes_software(chip.part, part):
                    continue
                swap = SwapDevice(variant=ground.variant_id, module_id=module_id, ref=chip.ref, part=key)
                yield Candidate(
                    "controller",
                    chip.address,
                    module_id,
                    f"{chip.address} {chip.device.part} becomes {key}",
                    (swap,),
                    (key,),
                    tuple(lesser(chip, part)),
                )


def takes_software(old: Part, new: Part) -> bool:
    """Tell whether a controller is near enough to another one to take its software.

    Another maker's has other tools, and its software would be written anew: that is no change of a parts list. Nor is
    one with program memory of its own in the place of one that runs from a chip beside it.
    """
    same_memory = (new.flash_byte == 0) == (old.flash_byte == 0)
    return old.kind == new.kind == CONTROLLER and old.maker == new.maker and same_memory
