"""Where loads are served."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.group import Group
from bomtui.edit.tree import counted, entry_of, listed, quoted, variant_of, with_entry, with_variant, without
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.part import DRIVER_KINDS
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import JOINS, Placement, Variant

_SHARED = "shared"


class TakeOff(Edit, frozen=True):
    """Take loads off whatever serves them."""

    variant: str
    loads: tuple[str, ...]

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"take off {listed(self.loads)}" if self.loads else "take off nothing"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the loads unplaced."""
        placements = variant_of(snapshot, self.variant).placements
        for load_id in self.loads:
            entry_of(placements, load_id, "placement of load", f"variant {self.variant}")
        if not self.loads:
            return snapshot
        return with_variant(snapshot, self.variant, placements=without(placements, self.loads))


class Place(Edit, frozen=True):
    """Serve a load somewhere, or move it there.

    Whether the place suits the load is said by the rules; here it only has to exist and to be free.

    Attributes:
        variant: The variant.
        load_id: The load.
        on: Channels `MODULE.REF.CHANNEL`, or only the module for what needs no channel.
        joined: How channels or loads are joined; None where they are not.
        stage: FETs `MODULE.REF` that the channel drives.
    """

    variant: str
    load_id: str
    on: tuple[str, ...]
    joined: str | None = None
    stage: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"place {self.load_id} on {listed(self.on)}" if self.on else f"place {self.load_id} nowhere"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the load on its new place."""
        after = self.put(snapshot)
        self.check_free(variant_of(snapshot, self.variant))
        return after

    def put(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the load on its new place, whoever is there already.

        Raises:
            RefusedError: There is no such load or place.
        """
        variant = variant_of(snapshot, self.variant)
        entry_of(snapshot.proposal.loads, self.load_id, "load")
        _check_join(self.joined)
        if not self.on or len(set(self.on)) < len(self.on):
            raise RefusedError(f"the load {self.load_id} is placed on one or several places, each named once")
        for text in self.on:
            _check_channel(snapshot, variant, _address(text))
        for text in self.stage:
            address = _address(text)
            if not address.device or address.channel:
                raise RefusedError(f"expected a power stage MODULE.REF, found {quoted(text)}")
            _check_channel(snapshot, variant, address)
        former = variant.placements.get(self.load_id)
        if former is None:
            placement = Placement(on=self.on, joined=self.joined, stage=self.stage)
        elif (former.on, former.joined, former.stage) == (self.on, self.joined, self.stage):
            return snapshot
        else:
            # Rail and fail-safe output are those of the module that the load leaves.
            stays = parse_address(former.on[0]).module == parse_address(self.on[0]).module if former.on else False
            placement = msgspec.structs.replace(
                former,
                on=self.on,
                joined=self.joined,
                stage=self.stage,
                rail=former.rail if stays else "",
                fail_safe=former.fail_safe if stays else "",
            )
        return with_variant(snapshot, self.variant, placements=with_entry(variant.placements, self.load_id, placement))

    def check_free(self, variant: Variant) -> None:
        """Refuse a channel that carries another load, unless all of them share it knowingly.

        Raises:
            RefusedError: Another load is there.
        """
        wanted = {text for text in self.on if parse_address(text).channel}
        others = [
            load_id
            for load_id in sorted(variant.placements, key=natural_key)
            if load_id != self.load_id
            and not wanted.isdisjoint(variant.placements[load_id].on)
            and not (self.joined == variant.placements[load_id].joined == _SHARED)
        ]
        if others:
            raise RefusedError(
                f"{listed(sorted(wanted, key=natural_key))}: {listed(others)} would be taken off to make room for "
                f"{self.load_id}",
                tuple(f"variants.{self.variant}.placements.{load_id}" for load_id in others),
                Group(edits=(TakeOff(variant=self.variant, loads=tuple(others)), self), words=self.label),
            )


class PlaceAll(Edit, frozen=True):
    """Serve several loads somewhere at once; who is in whose way is judged when all of them have moved.

    So two loads can swap their channels, which one after the other cannot.

    Attributes:
        variant: The variant.
        places: Where each load goes, each load once.
    """

    variant: str
    places: tuple[Place, ...]

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"place {listed(tuple(place.load_id for place in self.places))}" if self.places else "place nothing"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with all loads on their new places."""
        if len({place.load_id for place in self.places}) < len(self.places):
            raise RefusedError("each load is placed once")
        after, refused = self.tried(snapshot)
        for sentence in refused.values():
            raise RefusedError(sentence)
        return after

    def tried(self, snapshot: Snapshot) -> tuple[Snapshot, dict[str, str]]:
        """Place as many as can be placed together.

        Returns:
            The snapshot with those, and why each other load was left where it was, by its id.
        """
        refused: dict[str, str] = {}
        while True:
            # One that stays where it was may be in the way of others, so those are judged anew.
            before, after = len(refused), snapshot
            wanted = [place for place in self.places if place.load_id not in refused]
            for place in wanted:
                try:
                    after = place.put(after)
                except RefusedError as error:
                    refused[place.load_id] = error.refusal.sentence
            variant = variant_of(after, self.variant)
            for place in wanted:
                if place.load_id in refused:
                    continue
                try:
                    place.check_free(variant)
                except RefusedError as error:
                    refused[place.load_id] = error.refusal.sentence
            if len(refused) == before:
                return after, refused


class Join(Edit, frozen=True):
    """Say how the channels of loads, or loads on one channel, are joined.

    Attributes:
        variant: The variant.
        loads: Placed loads.
        joined: parallel: several channels carry one load; shared: several loads hang on one channel; None: neither.
    """

    variant: str
    loads: tuple[str, ...]
    joined: str | None

    @property
    def label(self) -> str:
        """What it does, in words."""
        what = f"join {self.joined}" if self.joined else "part"
        return f"{what} {listed(self.loads)}" if self.loads else f"{what} nothing"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the mark."""
        _check_join(self.joined)
        return _marked(snapshot, self.variant, self.loads, joined=self.joined)


class Pin(Edit, frozen=True):
    """Keep loads where they are whatever automatic placement does, or let them go again."""

    variant: str
    loads: tuple[str, ...]
    pinned: bool = True

    @property
    def label(self) -> str:
        """What it does, in words."""
        what = "pin" if self.pinned else "unpin"
        return f"{what} {listed(self.loads)}" if self.loads else f"{what} nothing"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the mark."""
        return _marked(snapshot, self.variant, self.loads, pinned=self.pinned)


def _marked(snapshot: Snapshot, variant_id: str, loads: tuple[str, ...], **marks: str | bool | None) -> Snapshot:
    former = variant_of(snapshot, variant_id).placements
    placements = former
    for load_id in loads:
        placement = entry_of(former, load_id, "placement of load", f"variant {variant_id}")
        if any(getattr(placement, name) != value for name, value in marks.items()):
            placements = with_entry(placements, load_id, msgspec.structs.replace(placement, **marks))
    return with_variant(snapshot, variant_id, placements=placements)


def _check_join(joined: str | None) -> None:
    if joined is not None and joined not in JOINS:
        raise RefusedError(f"loads and channels are joined as one of {', '.join(JOINS)}, found {quoted(joined)}")


def _address(text: str) -> Address:
    try:
        return parse_address(text)
    except ValueError:
        raise RefusedError(f"expected MODULE, MODULE.REF or MODULE.REF.CHANNEL, found {quoted(text)}") from None


def _check_channel(snapshot: Snapshot, variant: Variant, address: Address) -> None:
    """Refuse an address that leads nowhere; a part of which the channels are unknown may have any."""
    module = entry_of(variant.modules, address.module, "module", "this variant")
    if not address.device:
        return
    device = entry_of(module.devices, address.device, "device", address.module)
    part = snapshot.parts.get(device.part)
    if not address.channel or part is None:
        return
    channels = part.channels
    if channels is None and part.kind in DRIVER_KINDS:
        return
    if address.channel > (channels or 0):
        found = counted(channels, "channel") if channels else "no channel"
        raise RefusedError(f"there is no channel {address}: {device.part} has {found}")
