"""Whether everything that a proposal names exists in it, and a copy in which it does.

Parts are not looked up here: a part without data is a finding of the rollup, not a fault of the file.
"""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, NamedTuple, TypeVar

import msgspec

from bomtui.model.base import Base
from bomtui.model.feed import Feed
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.ids import is_id, parse_address
from bomtui.model.load import DRIVE_CODES
from bomtui.model.network import Message, Network, Node
from bomtui.model.proposal import Proposal
from bomtui.model.quantity import text
from bomtui.model.settings import Settings
from bomtui.model.variant import BATTERY, Device, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Subsystem, Zone
from bomtui.storage.field_text import hint_at, shown
from bomtui.storage.problems import Fault
from bomtui.storage.records import LEFT_OUT

Path = tuple[str, ...]
RecordT = TypeVar("RecordT", bound=Base)

NOT_PLACED = "; the load counts as not placed until this is repaired"
NO_STAGE = "; the stage is left out until this is repaired"
NO_SWITCH = "; the feed counts as one with a fuse until this is repaired"
SWITCH_DOTS = 2
"""Dots of an address of a channel."""
NO_FAIL_SAFE = "; the load counts as having no fail-safe output until this is repaired"
NO_NETWORK = "; nothing is known of its command until this is repaired"
NO_RAIL = "; the load counts as fed from the battery until this is repaired"

_HINTED_FAULTS = 50

_WHERE_CHECKED = ("zone", "mode", "subsystem", "load", "variant", "assumption", "device", "rail", "node")
_AN = {
    "load": "a load",
    "assumption": "an assumption of this proposal",
    "device": "a device of this module",
    "rail": "a rail of this module",
    "node": "a node of this network",
    "feed": "a feed of this variant",
    "network": "a network of this variant",
}


class Known(NamedTuple):
    """What can be named.

    Attributes:
        ids: Ids that the proposal holds.
        declared: Ids that the file holds, with those that were left out because of their own faults.
    """

    ids: frozenset[str]
    declared: frozenset[str]


def check_references(proposal: Proposal, table: Mapping[str, Any], faults: list[Fault]) -> Proposal:
    """Report every name that leads nowhere, and return the proposal without them.

    A field that names nothing becomes unknown; a record that cannot be without it is left out. A load whose subsystem
    does not exist keeps it: an empty subsystem is added, because a load must not vanish from the sums.

    Args:
        proposal: As read.
        table: The file's content, to tell what was never there from what was left out.
        faults: Takes every fault found.
    """
    return _Check(proposal, table, faults).run()


class _Check:
    """One pass over a proposal."""

    def __init__(self, proposal: Proposal, table: Mapping[str, Any], faults: list[Fault]) -> None:
        self._proposal = proposal
        self._table = table
        self._faults = faults
        self._added: dict[str, Subsystem] = {}
        self._known = {
            "zone": self._top("zones", proposal.zones),
            "mode": self._top("modes", proposal.modes),
            "subsystem": self._top("subsystems", proposal.subsystems),
            "load": self._top("loads", proposal.loads),
            "variant": self._top("variants", proposal.variants),
            "assumption": self._top("assumptions", proposal.assumptions),
        }

    def run(self) -> Proposal:
        """Check all parts of the proposal."""
        old = self._proposal
        loads = self._clean_all(old.loads, ("loads",), self._known)
        self._known["load"] = self._top("loads", loads)
        changed: dict[str, Any] = {
            "proposal": self._clean(old.proposal, ("proposal",), self._known),
            "vehicle": self._clean(old.vehicle, ("vehicle",), self._known),
            "zones": self._distances(self._clean_all(old.zones, ("zones",), self._known)),
            "loads": loads,
            "pairs": self._clean_all(old.pairs, ("pairs",), self._known),
            "decompositions": self._clean_all(old.decompositions, ("decompositions",), self._known),
            "variants": {key: self._variant(variant, ("variants", key)) for key, variant in old.variants.items()},
        }
        changed["settings"] = self._drives(old.settings)
        changed["subsystems"] = {**old.subsystems, **self._added}
        return msgspec.structs.replace(old, **changed)

    def _top(self, key: str, present: Iterable[str]) -> Known:
        return _known(present, self._table.get(key))

    def _variant(self, variant: Variant, path: Path) -> Variant:
        table = _inner(self._table, path)
        modules = {
            key: self._module(module, (*path, "modules", key), _inner(table, ("modules", key)))
            for key, module in variant.modules.items()
        }
        declared = _inner(table, ("modules",))
        placements: dict[str, Placement] = {}
        for load, placement in variant.placements.items():
            where = (*path, "placements", load)
            fault = self._unfound("load", load, self._known["load"])
            if fault is not None:
                self._report(where, *fault, LEFT_OUT)
                continue
            # Lists, not generators: every faulty address is reported, not only the first.
            found = [self._address(address, modules, declared, (*where, "on")) for address in placement.on]
            stages = [self._stage(address, modules, declared, (*where, "stage")) for address in placement.stage]
            if all(found):
                rail = self._rail(placement, modules, declared, where)
                fail_safe = self._fail_safe(placement, modules, declared, where)
                over = self._commanded_over(placement, variant, table, where)
                placements[load] = msgspec.structs.replace(
                    placement,
                    stage=placement.stage if all(stages) else (),
                    rail=placement.rail if rail else "",
                    fail_safe=placement.fail_safe if fail_safe else "",
                    commanded_over=placement.commanded_over if over else "",
                )
        networks = {
            key: self._network(network, modules, declared, (*path, "networks", key))
            for key, network in variant.networks.items()
        }
        feeds = self._feeds(variant.feeds, modules, declared, (*path, "feeds"))
        modules = self._fed(modules, feeds, table, path)
        return msgspec.structs.replace(variant, feeds=feeds, networks=networks, modules=modules, placements=placements)

    def _network(
        self, network: Network, modules: Mapping[str, Module], declared: Mapping[str, Any], path: Path
    ) -> Network:
        """Return a network without nodes that are nowhere, and without messages that none of its nodes sends."""
        nodes: dict[str, Node] = {
            key: node
            for key, node in network.nodes.items()
            if self._is_somewhere(node.at, modules, declared, (*path, "nodes", key, "at"))
        }
        known = {"node": _known(nodes, _inner(self._table, (*path, "nodes")))}
        messages: dict[str, Message] = self._clean_all(network.messages, (*path, "messages"), known)
        return msgspec.structs.replace(network, nodes=nodes, messages=messages)

    def _is_somewhere(self, at: str, modules: Mapping[str, Module], declared: Mapping[str, Any], path: Path) -> bool:
        """Tell whether a node is at a device of the variant, or at a load."""
        if at.count(".") == 1:
            return self._address(at, modules, declared, path, LEFT_OUT)
        fault = self._unfound("load", at, self._known["load"])
        if fault is not None:
            found, _ = fault
            self._report(path, found, "a device MODULE.REF of this variant or a load", LEFT_OUT)
        return fault is None

    def _feeds(
        self, feeds: Mapping[str, Feed], modules: Mapping[str, Module], declared: Mapping[str, Any], path: Path
    ) -> dict[str, Feed]:
        """Drop zones of fuses, and switches, that do not exist."""
        cleaned: dict[str, Feed] = self._clean_all(feeds, path, self._known)
        for key, feed in cleaned.items():
            where = (*path, key, "switch")
            if feed.switch and feed.switch.count(".") != SWITCH_DOTS:
                self._report(where, shown(feed.switch), "a channel MODULE.REF.CHANNEL", NO_SWITCH)
            elif not feed.switch or self._address(feed.switch, modules, declared, where, NO_SWITCH):
                continue
            cleaned[key] = msgspec.structs.replace(feed, switch="")
        return cleaned

    def _fed(
        self, modules: Mapping[str, Module], feeds: Mapping[str, Feed], table: Mapping[str, Any], path: Path
    ) -> dict[str, Module]:
        """Drop feeds that modules and devices name and that do not exist."""
        known = _known(feeds, table.get("feeds"))
        return {key: self._module_fed(module, known, (*path, "modules", key)) for key, module in modules.items()}

    def _module_fed(self, module: Module, known: Known, path: Path) -> Module:
        named: list[tuple[str, Path]] = [(feed, (*path, "feeds")) for feed in module.feeds]
        named += [
            (device.feed, (*path, "devices", ref, "feed")) for ref, device in module.devices.items() if device.feed
        ]
        lost = set()
        for feed, where in named:
            fault = self._unfound("feed", feed, known)
            if fault is not None:
                lost.add(feed)
                self._report(where, *fault)
        if not lost:
            return module
        devices = {
            ref: msgspec.structs.replace(device, feed="") if device.feed in lost else device
            for ref, device in module.devices.items()
        }
        kept = tuple(feed for feed in module.feeds if feed not in lost)
        return msgspec.structs.replace(module, feeds=kept, devices=devices)

    def _module(self, module: Module, path: Path, table: Mapping[str, Any]) -> Module:
        known = {**self._known, "device": _known(module.devices, table.get("devices"))}
        rails: dict[str, Rail] = self._clean_all(module.rails, (*path, "rails"), known)
        known["rail"] = _known((*rails, BATTERY), table.get("rails"))
        devices: dict[str, Device] = self._clean_all(module.devices, (*path, "devices"), known)
        cleaned = self._clean(msgspec.structs.replace(module, rails={}, devices={}), path, known)
        return msgspec.structs.replace(cleaned or module, rails=rails, devices=devices)

    def _address(
        self,
        address: str,
        modules: Mapping[str, Module],
        declared: Mapping[str, Any],
        path: Path,
        ending: str = NOT_PLACED,
    ) -> bool:
        """Tell whether an address leads to a module, and to a device where it names one."""
        try:
            place = parse_address(address)
        except ValueError:
            self._report(path, shown(address), "an address MODULE, MODULE.REF or MODULE.REF.CHANNEL", ending)
            return False
        fault = self._unfound("module", place.module, _known(modules, declared))
        if fault is None and place.device:
            devices = _known(modules[place.module].devices, _inner(declared, (place.module, "devices")))
            fault = self._unfound("device", place.device, devices)
        if fault is None:
            return True
        found, expected = fault
        self._report(path, f"{found} in {shown(address)}", expected, ending)
        return False

    def _rail(
        self, placement: Placement, modules: Mapping[str, Module], declared: Mapping[str, Any], where: Path
    ) -> bool:
        """Tell whether a placement names no rail, or one of the module that serves its load."""
        if not placement.rail or not placement.on:
            return True
        home = parse_address(placement.on[0]).module
        rails = _known((*modules[home].rails, BATTERY), _inner(declared, (home, "rails")))
        fault = self._unfound("rail", placement.rail, rails)
        if fault is not None:
            self._report((*where, "rail"), *fault, NO_RAIL)
        return fault is None

    def _fail_safe(
        self, placement: Placement, modules: Mapping[str, Module], declared: Mapping[str, Any], where: Path
    ) -> bool:
        """Tell whether a placement names no fail-safe output, or one of a device that there is."""
        address, path = placement.fail_safe, (*where, "fail_safe")
        if not address:
            return True
        if address.count(".") != 1:
            self._report(path, shown(address), "a device MODULE.REF", NO_FAIL_SAFE)
            return False
        return self._address(address, modules, declared, path, NO_FAIL_SAFE)

    def _commanded_over(self, placement: Placement, variant: Variant, table: Mapping[str, Any], where: Path) -> bool:
        """Tell whether a placement names no network, or one of its variant."""
        if not placement.commanded_over:
            return True
        known = _known(variant.networks, table.get("networks"))
        fault = self._unfound("network", placement.commanded_over, known)
        if fault is not None:
            self._report((*where, "commanded_over"), *fault, NO_NETWORK)
        return fault is None

    def _stage(self, address: str, modules: Mapping[str, Module], declared: Mapping[str, Any], path: Path) -> bool:
        if address.count(".") != 1:
            self._report(path, shown(address), "a power stage MODULE.REF", NO_STAGE)
            return False
        return self._address(address, modules, declared, path, NO_STAGE)

    def _distances(self, zones: dict[str, Zone]) -> dict[str, Zone]:
        """Drop distances of which both directions are given and differ: neither is the true one."""
        wrong: set[tuple[str, str]] = set()
        for key, zone in zones.items():
            for other, there in zone.distance_m.items():
                back = zones[other].distance_m.get(key) if other in zones else None
                if back is None or back == there or (key, other) in wrong:
                    continue
                wrong |= {(key, other), (other, key)}
                self._report(
                    ("zones", other, "distance", key),
                    text(back, "length"),
                    f"one length per pair of zones ({text(there, 'length')} stands at zones.{key}.distance.{other})",
                    "; neither is used until this is repaired",
                )
        if not wrong:
            return zones
        return {
            key: msgspec.structs.replace(
                zone,
                distance_m={other: run for other, run in zone.distance_m.items() if (key, other) not in wrong},
            )
            for key, zone in zones.items()
        }

    def _drives(self, settings: Settings) -> Settings:
        """Drop habits of drive codes that no load can have."""
        unknown = [code for code in settings.drives if code not in DRIVE_CODES]
        for code in unknown:
            found = shown(code) + hint_at(code, DRIVE_CODES)
            self._report(("settings", "drives", code), found, f"one of {', '.join(DRIVE_CODES)}", LEFT_OUT)
        if not unknown:
            return settings
        kept = {code: habit for code, habit in settings.drives.items() if code in DRIVE_CODES}
        return msgspec.structs.replace(settings, drives=kept)

    def _clean_all(self, records: Mapping[str, Any], path: Path, known: Mapping[str, Known]) -> dict[str, Any]:
        cleaned = {key: self._clean(record, (*path, key), known) for key, record in records.items()}
        return {key: record for key, record in cleaned.items() if record is not None}

    def _clean(self, record: RecordT, path: Path, known: Mapping[str, Known]) -> RecordT | None:
        """Return the record without names that lead nowhere; None where it cannot be without one."""
        changed: dict[str, Any] = {}
        for info in _references(type(record)):
            value = getattr(record, info.name)
            if info.shape in {"quantities", "words"}:
                kept = self._entries(info, value, (*path, info.key), known)
                if len(kept) != len(value):
                    changed[info.name] = kept
                continue
            if info.shape == "texts":
                named = tuple(text for text in value if self._is_found(info, text, (*path, info.key), known))
                if len(named) != len(value):
                    changed[info.name] = named
                continue
            if not value and not info.required:
                continue
            fault = self._unfound(info.refers_to, value, known[info.refers_to])
            if fault is None:
                continue
            where = (*path, info.key)
            if not info.required:
                self._report(where, *fault)
                changed[info.name] = info.default
            elif info.refers_to == "subsystem" and is_id(value):
                self._report(where, *fault, "; an empty one is added for it")
                self._added[value] = Subsystem()
            else:
                self._report(where, *fault, LEFT_OUT)
                return None
        return msgspec.structs.replace(record, **changed) if changed else record

    def _is_found(self, info: FieldInfo, named: str, path: Path, known: Mapping[str, Known]) -> bool:
        """Tell whether one of several names leads somewhere; what leads nowhere is left out."""
        fault = self._unfound(info.refers_to, named, known[info.refers_to])
        if fault is not None:
            self._report(path, *fault, LEFT_OUT)
        return fault is None

    def _entries(
        self, info: FieldInfo, entries: Mapping[str, Any], path: Path, known: Mapping[str, Known]
    ) -> dict[str, Any]:
        """Check what a table names: quantities by their keys, words by their values."""
        kept: dict[str, Any] = {}
        for key, value in entries.items():
            named = key if info.shape == "quantities" else value
            fault = self._unfound(info.refers_to, named, known[info.refers_to])
            if fault is None:
                kept[key] = value
            else:
                self._report((*path, key), *fault)
        return kept

    def _unfound(self, what: str, named: str, known: Known) -> tuple[str, str] | None:
        """Return what was found and what is expected where a name leads nowhere."""
        if named in known.ids:
            return None
        expected = _AN.get(what, f"a {what} of this proposal" if what != "module" else "a module of this variant")
        if named in known.declared:
            return f"{shown(named)}, which is left out because of its own fault", expected
        # A hint costs a look at every id; after so many faults it is the file that is wrong and not a word.
        hint = hint_at(named, sorted(known.ids)) if len(self._faults) < _HINTED_FAULTS else ""
        return shown(named) + hint, expected

    def _report(self, path: Path, found: str, expected: str, ending: str = "") -> None:
        self._faults.append(Fault(path, f"expected {expected}, found {found}{ending}", found, expected))


@cache
def _references(record: type[Base]) -> tuple[FieldInfo, ...]:
    """Fields of a record that name something which is looked up, except keys of nested records."""
    return tuple(
        info
        for info in field_table(record)
        if info.refers_to in _WHERE_CHECKED and info.shape in {"text", "texts", "quantities", "words"}
    )


def _known(present: Iterable[str], declared: object) -> Known:
    return Known(frozenset(present), frozenset(declared) if isinstance(declared, dict) else frozenset())


def _inner(table: object, path: Path) -> Mapping[str, Any]:
    """Return a table inside a table; empty where it is missing or no table."""
    for key in path:
        table = table.get(key) if isinstance(table, dict) else None
    return table if isinstance(table, dict) else {}
