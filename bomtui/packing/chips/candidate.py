"""A change that might make a variant cheaper; engine and rules decide whether it does, and what it breaks."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from bomtui.edit.edit import Edit
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Device, Module, Variant

ChipKind = Literal["controller", "companion", "family"]
"""controller: a cheaper one in its place; companion: a chip goes because another one can do its work; family: one part
in the place of its sibling."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A change that might be taken.

    Attributes:
        kind: What sort of change it is.
        about: What it is about, as `ZREA.U8` or `fet40-1`: of several candidates about the same one is taken.
        module: The module; empty where it reaches over several.
        what: What goes and what comes, in words.
        edits: What is done, in this order.
        parts: Catalog keys of the parts that it uses.
        unsure: What no rule judges and a person has to know, one phrase each.
        is_share: Whether another candidate does the same in the whole variant.
    """

    kind: ChipKind
    about: str
    module: str
    what: str
    edits: tuple[Edit, ...]
    parts: tuple[str, ...]
    unsure: tuple[str, ...] = ()
    is_share: bool = False


@dataclass(frozen=True, slots=True)
class Chip:
    """A device with its part.

    Attributes:
        module: The module.
        ref: Its reference.
        device: The device.
        part: Its frozen part.
    """

    module: str
    ref: str
    device: Device
    part: Part

    @property
    def address(self) -> str:
        """Its address."""
        return str(Address(self.module, self.ref))


@dataclass(frozen=True, slots=True)
class Ground:
    """Where candidates are looked for.

    Attributes:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        parts: Parts of which chips may be made, by catalog key.
        modules: Modules that may change.
    """

    snapshot: Snapshot
    variant_id: str
    parts: Mapping[str, Part]
    modules: tuple[str, ...]

    @property
    def variant(self) -> Variant:
        """The variant."""
        return self.snapshot.proposal.variants[self.variant_id]

    def module(self, module_id: str) -> Module:
        """Return a module of the variant."""
        return self.variant.modules[module_id]

    def chips(self, module_id: str) -> Iterator[Chip]:
        """Yield the devices of a module in natural order, as far as every vehicle has them and their part is known."""
        devices = self.module(module_id).devices
        for ref in sorted(devices, key=natural_key):
            device = devices[ref]
            part = self.snapshot.parts.get(device.part)
            if part is not None and device.fitment_ratio is None and not device.counted_in_load:
                yield Chip(module_id, ref, device, part)
