"""Every place where a load could be served: free channels of devices, new devices, or a module alone."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import AddDevice
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import Place
from bomtui.edit.wiring import next_references
from bomtui.engine.fit import meets_supply
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Snapshot
from bomtui.services.channel_need import ChannelNeed, Free
from bomtui.services.editing import with_parts
from bomtui.services.effects import Effect
from bomtui.services.fit_reasons import (
    Partner,
    Reason,
    State,
    fit_reasons,
    pair_reasons,
    part_reasons,
    partners_of,
    reason,
    state_of,
)
from bomtui.services.free_channels import free_of, used_channels
from bomtui.services.rough_costs import RoughCosts

BRIDGE_KINDS = frozenset(("half_bridge", "full_bridge"))
"""Kinds of which two devices may serve one load: half bridges of one part."""


@dataclass(frozen=True, slots=True)
class PlaceOption:
    """A place where a load could be served.

    Attributes:
        state: Whether it fits.
        words: Where, for people: `ZREA.U6.3`, `a new hs24-4x22 as ZREA.U9.1 and ZREA.U9.2`.
        place: Address of the device, or of the module where no device is needed; empty for a rejected new part.
        on: Channels, or the module, that the load would be placed on; empty where there are not enough.
        module: Module; empty for a rejected new part, which no module makes better.
        part: Catalog key of the device's part; empty for a module alone.
        new_devices: Devices that have to be added; 0 where free channels serve.
        is_current: Whether the load is served there now.
        free_after: Channels left free on its devices; None where nobody knows, or no device is needed.
        reasons: What speaks against it, or may; empty where it fits.
        edit: What would be done; None for what is rejected because there is nothing to place it on.
        rough: First estimate of its cost by wire and chip price, in the proposal's currency; None where unknown.
        effect: What it does; None where it was not costed.
    """

    state: State
    words: str
    place: str
    on: tuple[str, ...]
    module: str
    part: str
    new_devices: int
    is_current: bool
    free_after: int | None
    reasons: tuple[Reason, ...]
    edit: Edit | None
    rough: Decimal | None
    effect: Effect | None = None


def places_of(
    snapshot: Snapshot,
    variant_id: str,
    load_id: str,
    parts: Mapping[str, Part],
    quantities: Mapping[str, Decimal],
) -> tuple[PlaceOption, ...]:
    """Return every place where a load could be served, those that do not fit among them, none of them costed.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        load_id: The load.
        parts: Parts of which a device may be added, by catalog key; a frozen part keeps its frozen data.
        quantities: How much of each part the variant uses, by catalog key, for the price rung of one more.

    Raises:
        KeyError: There is no such variant or load.
    """
    search = _Search(snapshot, variant_id, load_id, parts, quantities)
    if not search.need.channels:
        return tuple(search.modules_alone())
    return (*search.devices(), *search.new_devices())


def new_devices_in(
    snapshot: Snapshot,
    variant_id: str,
    load_id: str,
    parts: Mapping[str, Part],
    quantities: Mapping[str, Decimal],
    module_id: str,
) -> tuple[PlaceOption, ...]:
    """Return a new device in one module of each part that drives a load, also those that do not fit.

    For the arguments see `places_of`.
    """
    search = _Search(snapshot, variant_id, load_id, parts, quantities)
    return tuple(search.new_device(module_id, key) for key in search.driving) if search.need.channels else ()


@dataclass(frozen=True, slots=True)
class _Chosen:
    """Devices of one module and part that would serve the load together.

    Attributes:
        module: The module.
        refs: References of the devices.
        part: Catalog key.
        free: Free channels of each; None where nobody knows them.
        new: Whether the devices have to be added.
    """

    module: str
    refs: tuple[str, ...]
    part: str
    free: Free
    new: bool = False


class _Search:
    """The places of one load; what many places share is worked out once."""

    def __init__(
        self,
        snapshot: Snapshot,
        variant_id: str,
        load_id: str,
        parts: Mapping[str, Part],
        quantities: Mapping[str, Decimal],
    ) -> None:
        self.snapshot, self.variant_id, self.load_id = snapshot, variant_id, load_id
        self.proposal = snapshot.proposal
        self.variant = self.proposal.variants[variant_id]
        self.load: Load = self.proposal.loads[load_id]
        self.parts = {**parts, **snapshot.parts}
        self.rough = RoughCosts(self.proposal, self.load, self.parts, quantities)
        self.need = ChannelNeed(self.proposal, load_id)
        self.current = self.variant.placements.get(load_id)
        self.used = used_channels(self.variant, load_id)
        self.partners: tuple[Partner, ...] = partners_of(self.proposal, self.variant, load_id)
        self._constraints: dict[str, tuple[Reason, ...]] = {}

    def modules_alone(self) -> Iterator[PlaceOption]:
        """Return every module, for a load that needs no channel."""
        for module_id in sorted(self.variant.modules, key=natural_key):
            on = (module_id,)
            reasons = pair_reasons(self.partners, self.variant, self.load_id, (Address(module_id),), ())
            yield PlaceOption(
                state=state_of(reasons),
                words=module_id,
                place=module_id,
                on=on,
                module=module_id,
                part="",
                new_devices=0,
                is_current=self._is_current(on),
                free_after=None,
                reasons=reasons,
                edit=Place(variant=self.variant_id, load_id=self.load_id, on=on),
                rough=self.rough.of(self.variant.modules[module_id].zone, "", 0),
            )

    def devices(self) -> Iterator[PlaceOption]:
        """Return every driver of the variant with its free channels, and bridges of one part that serve together."""
        for module_id in sorted(self.variant.modules, key=natural_key):
            module = self.variant.modules[module_id]
            short: dict[str, list[tuple[str, tuple[int, ...]]]] = {}
            for ref in sorted(module.devices, key=natural_key):
                key = module.devices[ref].part
                part = self.snapshot.parts.get(key)
                if part is not None and part.kind not in DRIVER_KINDS:
                    continue
                free = free_of(part, self.used.get((module_id, ref), {}))
                if part is not None and free is not None and self._takes_several(part):
                    short.setdefault(key, []).append((ref, free))
                else:
                    yield self._option(_Chosen(module_id, (ref,), key, (free,)))
            for key, there in short.items():
                yield self._option(self._together(module_id, key, there))

    @property
    def driving(self) -> list[str]:
        """Keys of the parts that drive the load, or that do not say what they drive, in natural order."""
        drive = self.load.drive
        drivers = {key: part for key, part in self.parts.items() if part.kind in DRIVER_KINDS}
        return sorted((key for key, own in drivers.items() if not own.sides or drive in own.sides), key=natural_key)

    def new_devices(self) -> Iterator[PlaceOption]:
        """Return a new device of each part that drives the load in each module; what does not fit is said once."""
        for key in self.driving:
            part = self.parts[key]
            free = self._all_free(part)
            shares = self.need.shares(part, free)
            reasons = self._reasons(part, key, free, shares, (), on_battery=meets_supply(part))
            if state_of(reasons) == "rejected":
                yield self._rejected_part(key, reasons)
                continue
            for module_id in sorted(self.variant.modules, key=natural_key):
                yield self.new_device(module_id, key)

    def new_device(self, module_id: str, key: str) -> PlaceOption:
        """Return a new device of a part in a module, or as many half bridges as the load needs."""
        part = self.parts[key]
        refs = next_references(self.variant.modules[module_id], part, self._pieces(part))
        return self._option(_Chosen(module_id, refs, key, self._all_free(part), new=True))

    def _all_free(self, part: Part) -> Free:
        free = None if part.channels is None else tuple(range(1, part.channels + 1))
        return (free,) * self._pieces(part)

    def _takes_several(self, part: Part) -> bool:
        return part.kind in BRIDGE_KINDS and part.channels is not None and 0 < part.channels < self.need.channels

    def _pieces(self, part: Part) -> int:
        if not self._takes_several(part) or part.channels is None:
            return 1
        return -(-self.need.channels // part.channels)

    def _together(self, module_id: str, key: str, there: list[tuple[str, tuple[int, ...]]]) -> _Chosen:
        """Choose half bridges of one part: those that serve the load now, else the first that suffice."""
        own = {parse_address(text).device for text in self.current.on} if self.current is not None else set()
        there.sort(key=lambda device: (device[0] not in own, not device[1]))
        chosen: list[tuple[str, tuple[int, ...]]] = []
        for ref, free in there:
            if sum(len(numbers) for _, numbers in chosen) >= self.need.channels:
                break
            if free:
                chosen.append((ref, free))
        chosen = chosen or there[:1]
        chosen.sort(key=lambda device: natural_key(device[0]))
        return _Chosen(module_id, tuple(ref for ref, _ in chosen), key, tuple(free for _, free in chosen))

    def _option(self, chosen: _Chosen) -> PlaceOption:
        part = self.parts.get(chosen.part) if chosen.new else self.snapshot.parts.get(chosen.part)
        stage = self._stage(chosen.module)
        shares = self.need.shares(part, chosen.free, stage)
        on = self._on(chosen, self.need.channels * shares)
        device = None if chosen.new else self.variant.modules[chosen.module].devices[chosen.refs[0]]
        on_battery = part is None or meets_supply(part, device)
        reasons = self._reasons(part, chosen.part, chosen.free, shares, stage, on_battery=on_battery)
        for ref in () if chosen.new else chosen.refs:
            unnamed = self.used.get((chosen.module, ref), {}).get(0)
            if unnamed is not None:
                reasons += (reason("taken", unnamed, "a channel", certain=False),)
        places = [parse_address(text) for text in on]
        reasons += pair_reasons(self.partners, self.variant, self.load_id, places, stage)
        known = [free for free in chosen.free if free is not None]
        return PlaceOption(
            state=state_of(reasons),
            words=_words(chosen, on, shares),
            place=str(Address(chosen.module, chosen.refs[0])),
            on=on,
            module=chosen.module,
            part=chosen.part,
            new_devices=len(chosen.refs) if chosen.new else 0,
            is_current=not chosen.new and self._is_current(on),
            free_after=sum(map(len, known)) - len(on) if len(known) == len(chosen.free) and on else None,
            reasons=reasons,
            edit=self._edit(chosen, on, stage, shares) if on else None,
            rough=self.rough.of(
                self.variant.modules[chosen.module].zone, chosen.part, len(chosen.refs) if chosen.new else 0
            ),
        )

    def _on(self, chosen: _Chosen, number: int) -> tuple[str, ...]:
        """Choose the channels: where the load is now on these devices, else the first free ones; none if too few."""
        wanted = set(chosen.refs)
        if not chosen.new and self.current is not None and len(self.current.on) == number:
            now = [parse_address(text) for text in self.current.on]
            if all(own.channel and own.module == chosen.module and own.device in wanted for own in now):
                return self.current.on
        found: list[str] = []
        for ref, free in zip(chosen.refs, chosen.free, strict=True):
            taken = self.used.get((chosen.module, ref), {})
            numbers = free if free is not None else self._likely(taken)
            found += [str(Address(chosen.module, ref, own)) for own in numbers]
        return tuple(found[:number]) if len(found) >= number else ()

    def _likely(self, taken: Mapping[int, str]) -> tuple[int, ...]:
        """Return the numbers behind the last one taken, where nobody knows how many channels there are."""
        first = max(taken, default=0) + 1
        return tuple(range(first, first + self.need.channels))

    def _reasons(
        self, part: Part | None, key: str, free: Free, shares: int, stage: tuple[str, ...], *, on_battery: bool
    ) -> tuple[Reason, ...]:
        if key not in self._constraints:
            self._constraints[key] = part_reasons(key, part, self.proposal, self.parts)
        found = self.need.misfits(part, free, shares, stage, on_battery=on_battery)
        # FETs are chosen when the load has its channels: until then a pre-driver is not rejected for the want of them.
        reasons = (
            reason("stage", own.measured, own.limit, certain=False) if own.check == "stage" else own
            for own in fit_reasons(found)
        )
        return (*reasons, *self._constraints[key])

    def _stage(self, module_id: str) -> tuple[str, ...]:
        """Return the power stage that goes along: FETs of the module in which the load is now."""
        if self.current is None or not self.current.stage:
            return ()
        return self.current.stage if all(parse_address(text).module == module_id for text in self.current.stage) else ()

    def _edit(self, chosen: _Chosen, on: tuple[str, ...], stage: tuple[str, ...], shares: int) -> Edit:
        joined = "parallel" if shares > 1 else None
        place = Place(variant=self.variant_id, load_id=self.load_id, on=on, joined=joined, stage=stage)
        if not chosen.new:
            return place
        where = {"variant": self.variant_id, "module_id": chosen.module, "part": chosen.part}
        add = tuple(AddDevice(**where, ref=ref) for ref in chosen.refs)
        words = f"place {self.load_id} on {_words(chosen, on, shares)}"
        edit = Group(edits=(*add, place), words=words)
        return with_parts(self.snapshot, edit, {chosen.part: self.parts[chosen.part]})

    def _rejected_part(self, key: str, reasons: tuple[Reason, ...]) -> PlaceOption:
        return PlaceOption("rejected", f"a new {key}", "", (), "", key, self._pieces(self.parts[key]), is_current=False,
                           free_after=None, reasons=reasons, edit=None, rough=None)  # fmt: skip

    def _is_current(self, on: tuple[str, ...]) -> bool:
        return self.current is not None and bool(on) and on == self.current.on


def _words(chosen: _Chosen, on: tuple[str, ...], shares: int) -> str:
    where = " and ".join(on) if on else " and ".join(str(Address(chosen.module, ref)) for ref in chosen.refs)
    where += " in parallel" if shares > 1 else ""
    return f"a new {chosen.part} as {where}" if chosen.new else f"{where} ({chosen.part})"
