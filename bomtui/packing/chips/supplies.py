"""Supplies whose rails another supply of the module could make."""

from collections.abc import Iterator

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import RemoveDevice
from bomtui.edit.edits.field import SetField
from bomtui.model.ids import natural_key
from bomtui.model.part import SUPPLY_KINDS
from bomtui.packing.chips.candidate import Candidate, Chip, Ground
from bomtui.packing.chips.companions import lines_of


def supplies(ground: Ground) -> Iterator[Candidate]:
    """Yield every supply that could go, each with the one that makes its rails: current, heat and safety are judged."""
    for module_id in ground.modules:
        chips = [chip for chip in ground.chips(module_id) if chip.part.kind in SUPPLY_KINDS]
        for chip in chips:
            rails = _rails(ground, chip)
            if not rails or lines_of(ground, chip):
                continue
            for host in chips:
                if host.ref != chip.ref and host.part.output_v == chip.part.output_v is not None:
                    yield _candidate(ground, chip, host, rails)


def _rails(ground: Ground, chip: Chip) -> list[str]:
    rails = ground.module(chip.module).rails
    return sorted((rail_id for rail_id, rail in rails.items() if rail.source == chip.ref), key=natural_key)


def _candidate(ground: Ground, chip: Chip, host: Chip, rails: list[str]) -> Candidate:
    place = f"variants.{ground.variant_id}.modules.{chip.module}.rails"
    edits: list[Edit] = [SetField(place=f"{place}.{rail_id}.source", value=host.ref) for rail_id in rails]
    edits.append(RemoveDevice(variant=ground.variant_id, module_id=chip.module, ref=chip.ref))
    what = f"{chip.address} {chip.device.part} goes; {host.address} makes {' '.join(rails)}"
    return Candidate("companion", chip.address, chip.module, what, tuple(edits), ())
