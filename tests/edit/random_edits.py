"""Random edits of a snapshot by a seed, of every kind: most can be done, some are refused, as people's are."""

import dataclasses
import datetime
import random
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

import msgspec

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.edits.assumption import AddAssumption, RemoveAssumption, RenameAssumption
from bomtui.edit.edits.decomposition import AddDecomposition, RemoveDecomposition, RenameDecomposition
from bomtui.edit.edits.device import AddDevice, RemoveDevice, RenameDevice, SwapDevice
from bomtui.edit.edits.everywhere import MoveSubsystem, SwapPart
from bomtui.edit.edits.exchange import AddExchange, RemoveExchange
from bomtui.edit.edits.feed import AddFeed, FeedModule, RemoveFeed, RenameFeed
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.finding import AcceptFinding, WithdrawAcceptance
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.habit import DropHabit
from bomtui.edit.edits.item import AddItem, AddRail, RemoveItem, RemoveRail, RenameRail, SetQuantity
from bomtui.edit.edits.load import AddLoad, RemoveLoad, RenameLoad
from bomtui.edit.edits.merge import MergeModules
from bomtui.edit.edits.module import AddModule, CopyModule, MoveModule, RemoveModule, RenameModule
from bomtui.edit.edits.network import (
    AddMessage,
    AddNetwork,
    AddNode,
    RemoveMessage,
    RemoveNetwork,
    RemoveNode,
    RenameMessage,
    RenameNetwork,
    RenameNode,
)
from bomtui.edit.edits.part import DropUnusedParts, FreezePart, RefreshPart
from bomtui.edit.edits.placement import Join, Pin, Place, PlaceAll, TakeOff
from bomtui.edit.edits.state import RestoreState
from bomtui.edit.edits.variant import AddVariant, CopyVariant, DeleteVariant, RenameVariant
from bomtui.edit.edits.vehicle import (
    AddMode,
    AddPair,
    AddSubsystem,
    AddZone,
    RemoveMode,
    RemovePair,
    RemoveSubsystem,
    RemoveZone,
    RenameMode,
    RenamePair,
    RenameSubsystem,
    RenameZone,
)
from bomtui.edit.history import History, Step
from bomtui.model.base import Base
from bomtui.model.feed import Feed
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.load import DRIVE_CODES, Load
from bomtui.model.money import Money
from bomtui.model.network import NETWORK_KINDS, Network
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import BATTERY, JOINS, Amount, Module, Rail
from bomtui.model.vehicle import Decomposition, Pair

TEXTS = ("", "rear lamp", 'a "quoted" = text', "line\nbreak", "\u00b5\u03a9 \u00b0C", "[bold]", "unknown", "\x1b[31m")
NEW_PARTS = {
    "new-hs": Part(kind="high_side", channels=2, sides=("HS", "HSP"), supplies={"vbat": SupplyNeed()}, control_pins=2),
    "new-mcu": Part(kind="controller", gpio_pins=40, supplies={"vdd": SupplyNeed(voltage_v=5.0)}),
    "new-fet": Part(kind="fet", mpn="0001", note="\u03a9"),
}


class Maker:
    """Makes edits for one snapshot."""

    def __init__(self, rng: random.Random, snapshot: Snapshot) -> None:
        self.rng = rng
        self.snapshot = snapshot
        self.proposal = snapshot.proposal
        self.variant = self.pick(list(self.proposal.variants))
        variant = self.proposal.variants.get(self.variant)
        self.modules = {} if variant is None else variant.modules
        self.placements = {} if variant is None else variant.placements
        self.accepted = {} if variant is None else variant.accepted
        self.networks = {} if variant is None else variant.networks
        self.network_id = self.pick(list(self.networks))
        self.network = self.networks.get(self.network_id, Network(kind="LIN"))
        self.feeds = [] if variant is None else list(variant.feeds)
        self.module_id = self.pick(list(self.modules))
        self.module = self.modules.get(self.module_id, Module())

    def pick(self, names: Sequence[str]) -> str:
        """One of the names; now and then one that leads nowhere."""
        return self.rng.choice(names) if names and self.rng.random() < 0.95 else "nowhere"

    def new(self, letter: str) -> str:
        """An id that is most likely free."""
        return f"{letter}{self.rng.randint(100, 140)}" if self.rng.random() < 0.95 else "not an id"

    def yes(self) -> bool:
        """Whether to agree with what goes along."""
        return self.rng.random() < 0.7

    def address(self, module_id: str) -> str:
        """A channel, or only the module."""
        module = self.modules.get(module_id)
        if module is None or not module.devices or self.rng.random() < 0.4:
            return module_id
        return f"{module_id}.{self.pick(list(module.devices))}.{self.rng.randint(1, 4)}"

    def text(self, info: FieldInfo) -> str:
        """A text that a field may hold; where it names something, an id of that kind."""
        tables: dict[str, Any] = {
            "zone": self.proposal.zones,
            "mode": self.proposal.modes,
            "subsystem": self.proposal.subsystems,
            "load": self.proposal.loads,
            "variant": self.proposal.variants,
            "device": self.module.devices,
            "rail": (*self.module.rails, BATTERY),
            "node": self.network.nodes,
            "part": self.snapshot.parts,
            "feed": self.feeds,
            "network": self.networks,
            "assumption": self.proposal.assumptions,
        }
        if info.refers_to:
            return self.pick(["", *tables[info.refers_to]])
        if info.key == "switch":
            return self.address(self.module_id)
        if info.key == "currency":
            return "EUR"
        if info.key in {"exclusive_group", "together_group"}:
            return self.rng.choice(("", "G1", "G2"))
        return self.rng.choice(info.choices or TEXTS)

    def value(self, info: FieldInfo) -> Any:  # noqa: ANN401 - a value has the type of its field
        """A lawful value of a field; None now and then."""
        rng = self.rng
        if rng.random() < 0.1:
            return None
        if info.shape == "quantity":
            return rng.randint(0, 1000) / 1000 if info.dimension == "ratio" else rng.randint(0, 9999) / 100
        if info.shape in {"text", "choice"}:
            return self.text(info)
        if info.shape == "texts" and info.refers_to == "feed":
            return tuple(rng.sample(self.feeds, rng.randint(0, min(2, len(self.feeds)))))
        if info.shape == "texts":
            return tuple(rng.sample(info.choices or TEXTS[1:], rng.randint(0, 2)))
        if info.shape == "quantities":
            names = list(self.proposal.zones if info.refers_to == "zone" else self.proposal.modes)
            return {name: rng.randint(0, 100) / 100 for name in rng.sample(names, rng.randint(0, len(names)))}
        if info.shape == "words":
            return {name: self.text(info) for name in rng.sample(["vbat", "vdd"], rng.randint(0, 2))}
        number = Decimal(rng.randint(0, 99999)).scaleb(-rng.randint(0, 4))
        plain: dict[str, Any] = {
            "count": rng.randint(0, 5000),
            "decimal": number,
            "amount": Amount(quantity=number, unit=rng.choice(["piece", "dm2"])),
            "money": Money(amount=number, currency="EUR"),
            "flag": rng.random() < 0.5,
            "date": datetime.date(2026, 1, rng.randint(1, 31)),
        }
        return plain.get(info.shape)

    def field(self) -> SetField:
        """Set any field of any record."""
        record: Any = self.proposal
        pieces: list[str] = []
        while True:
            kind: type[Base] = type(record)
            info = self.rng.choice(field_table(kind))
            inner = getattr(record, info.name)
            if info.shape == "records":
                if not inner:
                    record, pieces = self.proposal, []
                    continue
                key = self.rng.choice(list(inner))
                pieces += [info.key, key]
                record = inner[key]
            elif info.shape == "record":
                pieces.append(info.key)
                record = inner
            else:
                break
        place = ".".join((*pieces, info.key))
        if info.shape in {"quantities", "words"} and self.rng.random() < 0.8:
            names = list(self.proposal.zones if info.refers_to == "zone" else self.proposal.modes)
            key = self.pick(names if info.dimension else ["vbat", "vdd"])
            shape = info.values or "text"
            return SetField(place=f"{place}.{key}", value=self.value(dataclasses.replace(info, shape=shape)))
        return SetField(place=place, value=self.value(info))

    def place(self) -> Place:
        """Place a load somewhere."""
        on = tuple(self.address(self.module_id) for _ in range(self.rng.choice([1, 1, 1, 2])))
        joined = self.rng.choice([None, None, None, *JOINS])
        stage = (f"{self.module_id}.{self.pick(list(self.module.devices))}",) if self.rng.random() < 0.1 else ()
        return Place(
            variant=self.variant, load_id=self.pick(list(self.proposal.loads)), on=on, joined=joined, stage=stage
        )

    def load(self) -> Load:
        """A new load."""
        return Load(
            subsystem=self.pick(list(self.proposal.subsystems)),
            zone=self.pick(["", *self.proposal.zones]),
            drive=self.rng.choice(DRIVE_CODES),
            name=self.rng.choice(TEXTS),
            test_current_a=self.rng.choice([None, 0.25]),
        )

    def site(self) -> str:
        """A device or a load."""
        if self.rng.random() < 0.3:
            return self.pick(list(self.proposal.loads))
        return f"{self.module_id}.{self.pick(list(self.module.devices))}"

    def placed(self) -> tuple[str, ...]:
        """Some loads, most of them placed."""
        return tuple(sorted({self.pick(list(self.placements)) for _ in range(self.rng.randint(1, 3))}))

    def amount(self) -> Amount:
        """How much of an item."""
        return Amount(quantity=Decimal(self.rng.randint(0, 300)).scaleb(-1))

    def group(self) -> Group:
        """Two edits as one."""
        return Group(edits=(self.field(), self.place()), words="change two things")

    def restored(self) -> RestoreState:
        """Another state as a whole."""
        info = msgspec.structs.replace(self.proposal.proposal, note="restored")
        return RestoreState(
            proposal=msgspec.structs.replace(self.proposal, proposal=info), parts=self.snapshot.parts, words="a note"
        )


MAKERS: dict[type[Edit], Callable[[Maker], Edit]] = {
    SetField: Maker.field,
    AddLoad: lambda m: AddLoad(load_id=m.new("L"), load=m.load()),
    RemoveLoad: lambda m: RemoveLoad(load_id=m.pick(list(m.proposal.loads)), take_along=m.yes()),
    RenameLoad: lambda m: RenameLoad(load_id=m.pick(list(m.proposal.loads)), new_id=m.new("L")),
    AddSubsystem: lambda m: AddSubsystem(subsystem_id=m.new("S"), name=m.rng.choice(TEXTS)),
    RemoveSubsystem: lambda m: RemoveSubsystem(subsystem_id=m.pick(list(m.proposal.subsystems))),
    RenameSubsystem: lambda m: RenameSubsystem(subsystem_id=m.pick(list(m.proposal.subsystems)), new_id=m.new("S")),
    AddZone: lambda m: AddZone(zone_id=m.new("Z"), name=m.rng.choice(TEXTS)),
    RemoveZone: lambda m: RemoveZone(zone_id=m.pick(list(m.proposal.zones)), take_along=m.yes()),
    RenameZone: lambda m: RenameZone(zone_id=m.pick(list(m.proposal.zones)), new_id=m.new("Z")),
    AddMode: lambda m: AddMode(mode_id=m.new("M"), name=m.rng.choice(TEXTS)),
    RemoveMode: lambda m: RemoveMode(mode_id=m.pick(list(m.proposal.modes)), take_along=m.yes()),
    RenameMode: lambda m: RenameMode(mode_id=m.pick(list(m.proposal.modes)), new_id=m.new("M")),
    AddPair: lambda m: AddPair(
        pair_id=m.new("P"),
        pair=Pair(primary=m.pick(list(m.proposal.loads)), stand_in=m.pick(list(m.proposal.loads))),
    ),
    RemovePair: lambda m: RemovePair(pair_id=m.pick(list(m.proposal.pairs)), take_along=m.yes()),
    RenamePair: lambda m: RenamePair(pair_id=m.pick(list(m.proposal.pairs)), new_id=m.new("P")),
    AddDecomposition: lambda m: AddDecomposition(
        decomposition_id=m.new("D"),
        decomposition=Decomposition(one=m.pick(list(m.proposal.loads)), other=m.pick(list(m.proposal.loads))),
    ),
    RemoveDecomposition: lambda m: RemoveDecomposition(
        decomposition_id=m.pick(list(m.proposal.decompositions)), take_along=m.yes()
    ),
    RenameDecomposition: lambda m: RenameDecomposition(
        decomposition_id=m.pick(list(m.proposal.decompositions)), new_id=m.new("D")
    ),
    AddAssumption: lambda m: AddAssumption(assumption_id=m.new("A"), text=m.rng.choice(TEXTS)),
    RemoveAssumption: lambda m: RemoveAssumption(
        assumption_id=m.pick(list(m.proposal.assumptions)), take_along=m.yes()
    ),
    RenameAssumption: lambda m: RenameAssumption(assumption_id=m.pick(list(m.proposal.assumptions)), new_id=m.new("A")),
    DropHabit: lambda m: DropHabit(drive=m.pick(list(m.proposal.settings.drives))),
    AddExchange: lambda m: AddExchange(currency=m.rng.choice(["USD", "CHF", "EUR", "usd"])),
    RemoveExchange: lambda m: RemoveExchange(currency=m.pick(list(m.proposal.programme.exchange))),
    AddModule: lambda m: AddModule(
        variant=m.variant, module_id=m.new("B"), zone=m.pick(list(m.proposal.zones)), name=m.rng.choice(TEXTS)
    ),
    CopyModule: lambda m: CopyModule(variant=m.variant, module_id=m.module_id, new_id=m.new("B")),
    MoveModule: lambda m: MoveModule(variant=m.variant, module_id=m.module_id, zone=m.pick(list(m.proposal.zones))),
    RenameModule: lambda m: RenameModule(variant=m.variant, module_id=m.module_id, new_id=m.new("B")),
    RemoveModule: lambda m: RemoveModule(variant=m.variant, module_id=m.module_id, take_along=m.yes()),
    AddDevice: lambda m: AddDevice(
        variant=m.variant, module_id=m.module_id, part=m.pick(list(m.snapshot.parts)), ref=m.rng.choice(["", "U77"])
    ),
    RenameDevice: lambda m: RenameDevice(
        variant=m.variant, module_id=m.module_id, ref=m.pick(list(m.module.devices)), new_ref=m.new("U")
    ),
    SwapDevice: lambda m: SwapDevice(
        variant=m.variant,
        module_id=m.module_id,
        ref=m.pick(list(m.module.devices)),
        part=m.pick(list(m.snapshot.parts)),
        taking_off=tuple(sorted(m.placements)) if m.yes() else (),
    ),
    RemoveDevice: lambda m: RemoveDevice(
        variant=m.variant, module_id=m.module_id, ref=m.pick(list(m.module.devices)), take_along=m.yes()
    ),
    AddItem: lambda m: AddItem(
        variant=m.variant, module_id=m.module_id, part=m.pick(list(m.snapshot.parts)), quantity=m.amount()
    ),
    SetQuantity: lambda m: SetQuantity(
        variant=m.variant, module_id=m.module_id, part=m.pick(list(m.module.items)), quantity=m.amount()
    ),
    RemoveItem: lambda m: RemoveItem(variant=m.variant, module_id=m.module_id, part=m.pick(list(m.module.items))),
    AddRail: lambda m: AddRail(
        variant=m.variant,
        module_id=m.module_id,
        rail_id=m.new("V"),
        rail=Rail(voltage_v=m.rng.choice([3.3, 5.0]), source=m.pick(list(m.module.devices))),
    ),
    RenameRail: lambda m: RenameRail(
        variant=m.variant, module_id=m.module_id, rail_id=m.pick(list(m.module.rails)), new_id=m.new("V")
    ),
    RemoveRail: lambda m: RemoveRail(
        variant=m.variant, module_id=m.module_id, rail_id=m.pick(list(m.module.rails)), take_along=m.yes()
    ),
    AddNetwork: lambda m: AddNetwork(variant=m.variant, network_id=m.new("N"), kind=m.rng.choice(NETWORK_KINDS)),
    RenameNetwork: lambda m: RenameNetwork(variant=m.variant, network_id=m.network_id, new_id=m.new("N")),
    RemoveNetwork: lambda m: RemoveNetwork(variant=m.variant, network_id=m.network_id, take_along=m.yes()),
    AddNode: lambda m: AddNode(variant=m.variant, network_id=m.network_id, node_id=m.new("n"), at=m.site()),
    RenameNode: lambda m: RenameNode(
        variant=m.variant, network_id=m.network_id, node_id=m.pick(list(m.network.nodes)), new_id=m.new("n")
    ),
    RemoveNode: lambda m: RemoveNode(
        variant=m.variant, network_id=m.network_id, node_id=m.pick(list(m.network.nodes)), take_along=m.yes()
    ),
    AddMessage: lambda m: AddMessage(
        variant=m.variant, network_id=m.network_id, message_id=m.new("m"), sender=m.pick(list(m.network.nodes))
    ),
    RenameMessage: lambda m: RenameMessage(
        variant=m.variant, network_id=m.network_id, message_id=m.pick(list(m.network.messages)), new_id=m.new("m")
    ),
    RemoveMessage: lambda m: RemoveMessage(
        variant=m.variant, network_id=m.network_id, message_id=m.pick(list(m.network.messages)), take_along=m.yes()
    ),
    AddFeed: lambda m: AddFeed(
        variant=m.variant,
        feed_id=m.new("F"),
        feed=Feed(fuse_current_a=m.rng.choice([None, 7.5, 10.0]), fuse_zone=m.rng.choice(["", "Z1"])),
    ),
    RenameFeed: lambda m: RenameFeed(variant=m.variant, feed_id=m.pick(m.feeds), new_id=m.new("F")),
    RemoveFeed: lambda m: RemoveFeed(variant=m.variant, feed_id=m.pick(m.feeds), take_along=m.yes()),
    FeedModule: lambda m: FeedModule(
        variant=m.variant,
        module_id=m.module_id,
        feeds=tuple(sorted({m.pick(m.feeds) for _ in range(m.rng.randint(0, 2))})),
    ),
    Place: Maker.place,
    PlaceAll: lambda m: PlaceAll(variant=m.variant, places=(m.place(), m.place())),
    TakeOff: lambda m: TakeOff(variant=m.variant, loads=m.placed()),
    Join: lambda m: Join(variant=m.variant, loads=m.placed(), joined=m.rng.choice([None, *JOINS])),
    Pin: lambda m: Pin(variant=m.variant, loads=m.placed(), pinned=m.yes()),
    AddVariant: lambda m: AddVariant(new_id=m.new("V"), name=m.rng.choice(TEXTS)),
    CopyVariant: lambda m: CopyVariant(variant=m.variant, new_id=m.new("V"), name=m.rng.choice(TEXTS)),
    RenameVariant: lambda m: RenameVariant(variant=m.variant, new_id=m.new("V")),
    DeleteVariant: lambda m: DeleteVariant(variant=m.variant),
    AcceptFinding: lambda m: AcceptFinding(
        variant=m.variant,
        rule="channel.twice",
        place=m.address(m.module_id),
        reason=m.rng.choice(TEXTS),
        by="A. Tester",
        date=datetime.date(2026, 3, m.rng.randint(1, 31)),
        measured=str(m.rng.randint(2, 4)),
        limit="1",
    ),
    WithdrawAcceptance: lambda m: WithdrawAcceptance(variant=m.variant, accepted_id=m.pick(list(m.accepted))),
    FreezePart: lambda m: FreezePart(key=(key := m.rng.choice(list(NEW_PARTS))), part=NEW_PARTS[key]),
    RefreshPart: lambda m: RefreshPart(key=m.pick(list(m.snapshot.parts)), part=m.rng.choice(list(NEW_PARTS.values()))),
    DropUnusedParts: lambda _: DropUnusedParts(),
    SwapPart: lambda m: SwapPart(
        variant=m.variant,
        part=m.pick([device.part for device in m.module.devices.values()]),
        new_part=m.pick(list(m.snapshot.parts)),
        taking_off=tuple(sorted(m.placements)) if m.yes() else (),
    ),
    MoveSubsystem: lambda m: MoveSubsystem(
        variant=m.variant, subsystem=m.pick(list(m.proposal.subsystems)), module_id=m.module_id
    ),
    MergeModules: lambda m: MergeModules(variant=m.variant, into=m.module_id, modules=(m.pick(list(m.modules)),)),
    Group: Maker.group,
    RestoreState: Maker.restored,
}


def random_edit(rng: random.Random, snapshot: Snapshot, kinds: Sequence[type[Edit]] = tuple(MAKERS)) -> Edit:
    """An edit of one of the kinds for a snapshot."""
    return MAKERS[rng.choice(kinds)](Maker(rng, snapshot))


def random_history(seed: int, start: Snapshot, count: int) -> tuple[History, list[Refusal]]:
    """A history of random edits from a start, and the refusals that were met."""
    rng = random.Random(seed)
    history = History(start)
    refusals: list[Refusal] = []
    for _ in range(count):
        step = history.attempt(random_edit(rng, history.current), continues=rng.random() < 0.3)
        if isinstance(step, Refusal):
            refusals.append(step)
        elif isinstance(step, Step):
            history.take(step)
    return history, refusals
