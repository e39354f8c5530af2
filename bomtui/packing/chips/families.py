"""One part in the place of its sibling, in a module or wherever a variant uses it, for a price rung or a reel.

Siblings of one kind are told apart by what rules judge: currents, voltages, rails, rates. Where no rule judges what a
kind is for (memories, sensors, panels), a sibling is what the catalog calls an alternate.
"""

from collections.abc import Iterator

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import SwapDevice
from bomtui.edit.edits.everywhere import SwapPart
from bomtui.model.ids import natural_key
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.packing.chips.candidate import Candidate, Chip, Ground
from bomtui.packing.chips.controllers import CONTROLLER, takes_software
from bomtui.packing.chips.lesser import lesser

JUDGED_KINDS = frozenset(
    ("fet", "sbc", "ldo", "dcdc", "reverse", "transceiver_can", "transceiver_lin", "transceiver_eth")
)
"""Kinds of which rules judge what they are for."""


def families(ground: Ground) -> Iterator[Candidate]:
    """Yield every sibling in the place of a part: of all its chips in one module, and of all in the variant."""
    used: dict[str, dict[str, list[Chip]]] = {}
    for module_id in sorted(ground.variant.modules, key=natural_key):
        for chip in ground.chips(module_id):
            used.setdefault(chip.device.part, {}).setdefault(module_id, []).append(chip)
    for part in sorted(used, key=natural_key):
        for key in sorted(ground.parts, key=natural_key):
            if key != part and _is_sibling(ground.snapshot.parts[part], key, ground.parts[key]):
                yield from _candidates(ground, part, key, used[part])


def _is_sibling(old: Part, key: str, new: Part) -> bool:
    if old.kind != new.kind or old.kind in DRIVER_KINDS:
        # Drivers are packed: every part is offered to every load there.
        return False
    if old.kind in JUDGED_KINDS:
        return old.output_v == new.output_v and old.bus == new.bus
    return takes_software(old, new) if old.kind == CONTROLLER else key in old.alternates


def _candidates(ground: Ground, part: str, key: str, used: dict[str, list[Chip]]) -> Iterator[Candidate]:
    is_everywhere = len(used) > 1 and set(used) <= set(ground.modules)
    for module_id in ground.modules:
        chips = used.get(module_id, [])
        if not chips or chips[0].part.kind == CONTROLLER:
            # In one module a controller is a candidate of its own.
            continue
        edits: tuple[Edit, ...] = tuple(
            SwapDevice(variant=ground.variant_id, module_id=module_id, ref=chip.ref, part=key) for chip in chips
        )
        where = " ".join(chip.address for chip in chips)
        yield Candidate(
            "family",
            f"{part} in {module_id}",
            module_id,
            f"{where} {part} becomes {key}",
            edits,
            (key,),
            _unsure(ground, chips, key),
            is_share=is_everywhere,
        )
    if is_everywhere:
        swap = SwapPart(variant=ground.variant_id, part=part, new_part=key)
        every = [chip for own in used.values() for chip in own]
        what = f"{part} becomes {key} in {' '.join(used)}"
        yield Candidate("family", part, "", what, (swap,), (key,), _unsure(ground, every, key))


def _unsure(ground: Ground, chips: list[Chip], key: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for chip in chips for text in lesser(chip, ground.parts[key])))
