"""How modules become one: which devices go, because the module that stays has what they are there for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bomtui.edit.edits.merge import MergeModules
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Variant

CONTROLLER = "controller"
TRANSCEIVERS = frozenset(("transceiver_lin", "transceiver_can", "transceiver_eth", "transceiver_optical"))
"""Kinds that hold a node of a line; a radio reaches what it reaches and stays."""
CONVERTERS = frozenset(("dcdc", "ldo"))


@dataclass(frozen=True, slots=True)
class Way:
    """One way in which modules become one.

    Attributes:
        into: The module that stays, in its zone.
        others: The modules that go.
        is_one: Whether one controller takes the software of all; otherwise each stays, with its transceivers.
        shares: Whether they share supplies and reverse-battery protection of the module that stays.
    """

    into: str
    others: tuple[str, ...]
    is_one: bool
    shares: bool

    @property
    def modules(self) -> tuple[str, ...]:
        """Return all of them, in natural order."""
        return tuple(sorted((self.into, *self.others), key=natural_key))


def ways_of(modules: Iterable[str]) -> tuple[Way, ...]:
    """Return every way in which modules become one, those that share most first."""
    ordered = tuple(sorted(modules, key=natural_key))
    return tuple(
        Way(into, tuple(own for own in ordered if own != into), is_one, shares)
        for is_one in (True, False)
        for shares in (True, False)
        for into in ordered
    )


def main_controller(module: Module, parts: Mapping[str, Part]) -> str:
    """Return the controller that commands most of a module, the first of equal ones; empty where it has none."""
    refs = controllers_of(module, parts)
    commands = {ref: sum(device.commanded_by == ref for device in module.devices.values()) for ref in refs}
    return max(refs, key=lambda ref: commands[ref], default="")


def controllers_of(module: Module, parts: Mapping[str, Part]) -> tuple[str, ...]:
    """Return the references of the controllers of a module, in natural order."""
    return tuple(ref for ref in sorted(module.devices, key=natural_key) if _kind(module, ref, parts) == CONTROLLER)


def union_edit(snapshot: Snapshot, variant_id: str, way: Way) -> MergeModules:
    """Return the edit that makes modules one in some way.

    A controller goes where one takes the software of all and its module has no other; with it go the bus drivers whose
    networks the module that stays is on, or that joined only these modules, and the chip that supplied it, where the
    module that stays has rails of all its voltages. Converters go likewise where supplies are shared, with their FETs
    where a module loses all of them; reverse-battery controller and FET where the module that stays has both.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        way: The way.
    """
    variant = snapshot.proposal.variants[variant_id]
    going: dict[str, str] = {}
    for module_id in way.others:
        going |= _Leaving(variant, snapshot.parts, way, module_id).devices()
    return MergeModules(variant=variant_id, into=way.into, modules=way.others, going=going)


class _Leaving:
    """The devices of one module that go, each with its successor."""

    def __init__(self, variant: Variant, parts: Mapping[str, Part], way: Way, module_id: str) -> None:
        self.variant = variant
        self.parts = parts
        self.way = way
        self.module_id = module_id
        self.module = variant.modules[module_id]
        self.stays = variant.modules[way.into]
        self.main = main_controller(self.stays, parts)

    def devices(self) -> dict[str, str]:
        """Return them by address."""
        going: dict[str, str] = {}
        own = controllers_of(self.module, self.parts)
        gone_controller = own[0] if self.way.is_one and self.main and len(own) == 1 else ""
        if gone_controller:
            going[gone_controller] = self.main
            for ref in self.module.devices:
                successor = self._bus_successor(ref)
                if successor is not None and self.module.devices[ref].commanded_by in ("", gone_controller):
                    going[ref] = successor
        if self.way.shares:
            going |= self._converters() | self._protection()
        return {f"{self.module_id}.{ref}": successor for ref, successor in going.items()}

    def _bus_successor(self, ref: str) -> str | None:
        """Return what takes the place of a bus driver; None where it is none, or stays."""
        kind = _kind(self.module, ref, self.parts)
        if kind not in TRANSCEIVERS and kind != "sbc":
            return None
        nodes = self._nodes(ref)
        successors = [self._node_there(network_id) for network_id in nodes]
        if not all(successors) or (kind in TRANSCEIVERS and not nodes):
            return None
        if kind != "sbc":
            return successors[0]
        if not self.way.shares or not self._has_rails(ref):
            return None
        return successors[0] if successors else self._supply_there(ref)

    def _nodes(self, ref: str) -> list[str]:
        at = f"{self.module_id}.{ref}"
        return [
            network_id
            for network_id in sorted(self.variant.networks, key=natural_key)
            if any(node.at == at for node in self.variant.networks[network_id].nodes.values())
        ]

    def _node_there(self, network_id: str) -> str:
        """Return the device by which the module that stays is on a network; empty where it is not on it."""
        head = f"{self.way.into}."
        nodes = self.variant.networks[network_id].nodes
        return next((nodes[key].at.removeprefix(head) for key in nodes if nodes[key].at.startswith(head)), "")

    def _has_rails(self, ref: str) -> bool:
        """Tell whether the module that stays has rails of all voltages that a device makes."""
        there = {rail.voltage_v for rail in self.stays.rails.values()}
        return all(rail.voltage_v in there for rail in self.module.rails.values() if rail.source == ref)

    def _supply_there(self, ref: str) -> str:
        """Return what makes the first rail of the module that stays which is like one of a device; or nothing."""
        made = [rail.voltage_v for rail in self.module.rails.values() if rail.source == ref]
        rails = self.stays.rails
        return next(
            (rails[key].source for key in sorted(rails, key=natural_key) if made and rails[key].voltage_v == made[0]),
            "",
        )

    def _converters(self) -> dict[str, str]:
        own = [ref for ref in self.module.devices if _kind(self.module, ref, self.parts) in CONVERTERS]
        made = {rail.source for rail in self.module.rails.values()}
        gone = {ref: self._supply_there(ref) for ref in own if ref in made and self._has_rails(ref)}
        if own and len(gone) == len(own):
            gone |= {ref: "" for ref, device in self.module.devices.items() if device.carries == "converter"}
        return gone

    def _protection(self) -> dict[str, str]:
        """Return reverse-battery controller and FETs, where the module that stays has both."""
        there = _protection_of(self.stays, self.parts)
        own = _protection_of(self.module, self.parts)
        if not all(there):
            return {}
        return {ref: successors[0] for refs, successors in zip(own, there, strict=True) for ref in refs}


def _protection_of(module: Module, parts: Mapping[str, Part]) -> tuple[list[str], list[str]]:
    refs = sorted(module.devices, key=natural_key)
    return (
        [ref for ref in refs if _kind(module, ref, parts) == "reverse"],
        [ref for ref in refs if module.devices[ref].carries == "feed"],
    )


def _kind(module: Module, ref: str, parts: Mapping[str, Part]) -> str:
    part = parts.get(module.devices[ref].part)
    return "" if part is None else part.kind
