"""Modules that become one."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.device import frozen_part
from bomtui.edit.node_places import without_node
from bomtui.edit.references import followed_places, with_addresses
from bomtui.edit.tree import check_new_id, entry_of, listed, module_of, variant_of, with_entry, with_proposal, without
from bomtui.edit.wiring import next_reference
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.network import Network
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import BATTERY, Amount, Device, Item, Module, Rail, Variant


class MergeModules(Edit, frozen=True):
    """Put all that is in some modules into another one, and remove them.

    Their devices get the lowest free references, their rails free ids; loads, networks and feeds follow. Every chip
    stays on the feed that it is on. A node whose transceiver goes is dropped where the module is a node of its network
    already: what it sends is sent from there, and a line that ended at it ends there. A network that then joins nothing
    any more goes.

    Attributes:
        variant: The variant.
        into: The module that stays, in its zone.
        modules: The modules that go.
        going: Devices that go, as `MODULE.REF`, each with the device of the module that stays which takes its place;
            empty where nothing needs one.
    """

    variant: str
    into: str
    modules: tuple[str, ...]
    going: dict[str, str] = msgspec.field(default_factory=dict)

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"merge {listed(self.modules)} into {self.into}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with one module in place of them."""
        variant = self._merging(snapshot).variant()
        return with_proposal(snapshot, variants=with_entry(snapshot.proposal.variants, self.variant, variant))

    def staying(self, snapshot: Snapshot) -> dict[str, str]:
        """Return the new address of every device of the modules that go which does not go with them.

        Raises:
            RefusedError: They cannot be merged.
        """
        homes = self._merging(snapshot).homes
        return {old: f"{self.into}.{ref}" for old, ref in homes.items() if old not in self.going}

    def _merging(self, snapshot: Snapshot) -> "_Merging":
        self._check(snapshot)
        merging = _Merging(self, snapshot)
        for module_id in self.modules:
            merging.take(module_id)
        return merging

    def _check(self, snapshot: Snapshot) -> None:
        stays = module_of(snapshot, self.variant, self.into)
        if not self.modules or self.into in self.modules or len(set(self.modules)) < len(self.modules):
            raise RefusedError(f"expected other modules than {self.into} to merge into it, each once")
        for module_id in self.modules:
            module = module_of(snapshot, self.variant, module_id)
            if module.fitment_ratio != stays.fitment_ratio:
                raise RefusedError(f"{module_id} and {self.into} are in different shares of the vehicles")
        for text, place in self.going.items():
            address = parse_address(text)
            if address.module not in self.modules:
                raise RefusedError(f"{text} is in none of the modules that go")
            entry_of(module_of(snapshot, self.variant, address.module).devices, address.device, "device")
            if place:
                entry_of(stays.devices, place, "device", self.into)


class _Merging:
    """The module as it grows."""

    def __init__(self, edit: MergeModules, snapshot: Snapshot) -> None:
        self.edit = edit
        self.snapshot = snapshot
        self.former: Variant = variant_of(snapshot, edit.variant)
        self.module: Module = self._on_own_feed(self.former.modules[edit.into])
        self.homes: dict[str, str] = {}
        self.rails: dict[tuple[str, str], str] = {}

    def take(self, module_id: str) -> None:
        """Put one module into it."""
        module = self._on_own_feed(self.former.modules[module_id])
        refs = self._references(module_id, module)
        self._add_rails(module_id, module, refs)
        devices = self.module.devices
        for ref, own in refs.items():
            if f"{module_id}.{ref}" not in self.edit.going:
                devices = with_entry(devices, own, self._wired(module_id, module.devices[ref], refs))
        self.module = msgspec.structs.replace(
            self.module,
            keep_alive=self.module.keep_alive or module.keep_alive,
            feeds=(*self.module.feeds, *(key for key in module.feeds if key not in self.module.feeds)),
            devices=devices,
            items=_added(self.module.items, module.items),
        )

    def variant(self) -> Variant:
        """Return the variant with the module in place of all of them."""
        modules = with_entry(without(self.former.modules, self.edit.modules), self.edit.into, self.module)
        variant = msgspec.structs.replace(self.former, modules=modules)
        variant = self._with_rails_of_loads(variant)
        variant = with_addresses(variant, self._moved)
        variant = self._with_networks(variant)
        for module_id in self.edit.modules:
            variant = followed_places(variant, module_id, None, "", [])
        return variant

    @staticmethod
    def _on_own_feed(module: Module) -> Module:
        """Name the feed of every chip on the battery, which one feed alone leaves open."""
        if len(module.feeds) != 1:
            return module
        devices = module.devices
        for ref, device in module.devices.items():
            if not device.feed and BATTERY in device.supply.values():
                devices = with_entry(devices, ref, msgspec.structs.replace(device, feed=module.feeds[0]))
        return module if devices is module.devices else msgspec.structs.replace(module, devices=devices)

    def _references(self, module_id: str, module: Module) -> dict[str, str]:
        """Return the new reference of every device, in natural order; of one that goes, that of its successor."""
        refs: dict[str, str] = {}
        filling = self.module
        for ref in sorted(module.devices, key=natural_key):
            device = module.devices[ref]
            successor = self.edit.going.get(f"{module_id}.{ref}")
            if successor is None:
                part = frozen_part(self.snapshot, device.part)
                successor = next_reference(filling, part)
                filling = msgspec.structs.replace(filling, devices=with_entry(filling.devices, successor, device))
            refs[ref] = successor
            self.homes[f"{module_id}.{ref}"] = successor
        return refs

    def _add_rails(self, module_id: str, module: Module, refs: dict[str, str]) -> None:
        for rail_id in sorted(module.rails, key=natural_key):
            rail = module.rails[rail_id]
            if f"{module_id}.{rail.source}" in self.edit.going:
                own = self._rail_like(rail)
                if own is None:
                    raise RefusedError(f"{self.edit.into} has no rail in the place of {rail_id} of {module_id}")
            else:
                own = self._new_rail(rail_id)
                moved = msgspec.structs.replace(rail, source=refs.get(rail.source, rail.source))
                self.module = msgspec.structs.replace(self.module, rails=with_entry(self.module.rails, own, moved))
            self.rails[module_id, rail_id] = own

    def _rail_like(self, rail: Rail) -> str | None:
        """Return the first rail of the module itself that has the voltage of one that goes."""
        own = self.former.modules[self.edit.into].rails
        return next((key for key in sorted(own, key=natural_key) if own[key].voltage_v == rail.voltage_v), None)

    def _new_rail(self, rail_id: str) -> str:
        taken = (*self.module.rails, BATTERY)
        number = 1
        own = rail_id
        while own.casefold() in {key.casefold() for key in taken}:
            number += 1
            own = f"{rail_id}-{number}"
        check_new_id(taken, own, "rail")
        return own

    def _wired(self, module_id: str, device: Device, refs: dict[str, str]) -> Device:
        """Return a device as it is wired in the module."""
        partner = device.in_parallel_with
        if f"{module_id}.{partner}" in self.edit.going:
            partner = ""
        supply = {name: self.rails.get((module_id, rail), rail) for name, rail in device.supply.items()}
        return msgspec.structs.replace(
            device,
            supply=device.supply if supply == device.supply else supply,
            commanded_by=refs.get(device.commanded_by, device.commanded_by),
            in_parallel_with=refs.get(partner, partner),
        )

    def _moved(self, address: Address) -> Address:
        if address.module not in self.edit.modules:
            return address
        device = self.homes.get(f"{address.module}.{address.device}", "") if address.device else ""
        if address.device and not device:
            raise RefusedError(f"{address} serves something and has no successor in {self.edit.into}")
        return Address(self.edit.into, device, address.channel)

    def _with_rails_of_loads(self, variant: Variant) -> Variant:
        placements = variant.placements
        for load_id, placement in variant.placements.items():
            module_id = parse_address(placement.on[0]).module if placement.on else ""
            rail = self.rails.get((module_id, placement.rail), placement.rail)
            if rail != placement.rail:
                placements = with_entry(placements, load_id, msgspec.structs.replace(placement, rail=rail))
        return msgspec.structs.replace(variant, placements=placements)

    def _with_networks(self, variant: Variant) -> Variant:
        networks = variant.networks
        gone: list[str] = []
        for network_id, network in variant.networks.items():
            if not any(self._is_here(node.at) for node in network.nodes.values()):
                continue
            followed = self._with_nodes(network)
            if len(followed.nodes) > 1:
                networks = with_entry(networks, network_id, followed)
            else:
                gone.append(network_id)
        variant = msgspec.structs.replace(variant, networks=without(networks, gone) if gone else networks)
        for network_id in gone:
            variant = followed_places(variant, f"networks.{network_id}", None, "", [])
            variant = _commanded_inside(variant, network_id)
        return variant

    def _is_here(self, at: str) -> bool:
        module, point, _ = at.partition(".")
        return bool(point) and module in self.edit.modules

    def _with_nodes(self, network: Network) -> Network:
        kept = next((key for key, node in network.nodes.items() if node.at.startswith(f"{self.edit.into}.")), "")
        for key, node in network.nodes.items():
            if not self._is_here(node.at):
                continue
            if node.at in self.edit.going and kept:
                network = _ended_at(_said_by(network, key, kept), key, kept)
                network = without_node(network, key, "", [])
                continue
            at = str(self._moved(parse_address(node.at)))
            network = msgspec.structs.replace(
                network, nodes=with_entry(network.nodes, key, msgspec.structs.replace(node, at=at))
            )
        return network


def _said_by(network: Network, old: str, new: str) -> Network:
    """Return a network in which one node sends what another one did."""
    messages = network.messages
    for key, message in network.messages.items():
        if message.sender == old:
            messages = with_entry(messages, key, msgspec.structs.replace(message, sender=new))
    return network if messages is network.messages else msgspec.structs.replace(network, messages=messages)


def _ended_at(network: Network, old: str, new: str) -> Network:
    """Return a network in which one node holds the end resistor that another one did."""
    if not network.nodes[old].terminated or network.nodes[new].terminated:
        return network
    node = msgspec.structs.replace(network.nodes[new], terminated=True)
    return msgspec.structs.replace(network, nodes=with_entry(network.nodes, new, node))


def _commanded_inside(variant: Variant, network_id: str) -> Variant:
    """Return a variant in which no command comes over a network that goes."""
    placements = variant.placements
    for load_id, placement in variant.placements.items():
        if placement.commanded_over == network_id:
            placements = with_entry(placements, load_id, msgspec.structs.replace(placement, commanded_over=""))
    return variant if placements is variant.placements else msgspec.structs.replace(variant, placements=placements)


def _added(items: dict[str, Item], others: dict[str, Item]) -> dict[str, Item]:
    added = items
    for key, item in others.items():
        known = added.get(key)
        whole = item if known is None else msgspec.structs.replace(known, quantity=_sum(known, item))
        added = with_entry(added, key, whole)
    return added


def _sum(one: Item, other: Item) -> Amount:
    return msgspec.structs.replace(one.quantity, quantity=one.quantity.quantity + other.quantity.quantity)
