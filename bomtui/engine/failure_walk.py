"""The failure walk: what each load of a variant cannot work without, and what is lost with every single thing.

A load needs all that it is served by, so that one walk along "needs" finds every cause that takes it out: the devices
of its channels, all of them where there are several, because the others cannot carry the whole current; its power
stage; one controller that commands them; the supplies of these, each supply input of a device; the feeds behind them
with their ground points; the module with its board and connector; the network over which a command comes from another
module. The one choice is the controller: a load that a fail-safe output keeps on is lost only where controller and
fail-safe output are lost together.

What is taken out is gone: a failed device gives nothing, and harms nothing else. A short circuit that pulls a rail or
a feed down with it is looked at as the loss of that rail's source or of that feed. A proposal does not say which feed
the battery side of a load hangs on that is switched towards ground: such loads are named, and are lost with what serves
them only.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from bomtui.engine.load_path import CONTROLLER, LoadPath, commanders, load_path, unclaimed_sources
from bomtui.model.failure import (
    Cause,
    CauseKind,
    CommonCauses,
    Effect,
    FailureWalk,
    Needs,
    StandIn,
    StandInState,
    cause_key,
)
from bomtui.model.feed import Feed
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import INPUT_DRIVES, LOW_SIDE_DRIVES, Load
from bomtui.model.part import SUPPLY_KINDS, Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.variant import BATTERY, Device, Module, Placement, Variant

FEED_CAUSES: frozenset[CauseKind] = frozenset(("feed", "ground"))
"""Kinds of causes that are open where a feed is not named."""
FED_DIRECTLY = frozenset(("fet", "reverse"))
"""Kinds that stand in the way of battery current whether they say so or not."""


@dataclass(frozen=True, slots=True)
class _Links:
    """What one thing needs at once, by how sure that is."""

    certain: frozenset[Cause] = frozenset()
    possible: frozenset[Cause] = frozenset()
    open_kinds: frozenset[CauseKind] = frozenset()


class Dependencies:
    """What hangs on what in a variant.

    Args:
        variant: The variant.
        parts: Frozen parts by key.
        loads: Loads of the vehicle by id.
    """

    def __init__(self, variant: Variant, parts: Mapping[str, Part], loads: Mapping[str, Load]) -> None:
        self._variant = variant
        self._parts = parts
        self._loads = loads
        self._reach: dict[Cause, Needs] = {}

    def device(self, address: Address) -> Cause:
        """Return a device as a cause: a controller by its own kind."""
        module = self._variant.modules.get(address.module)
        device = None if module is None else module.devices.get(address.device)
        part = None if device is None else self._parts.get(device.part)
        kind: CauseKind = "controller" if part is not None and part.kind == CONTROLLER else "device"
        return Cause(kind, f"{address.module}.{address.device}")

    def causes(self) -> tuple[Cause, ...]:
        """Return all that can be taken out, in the order in which people read it."""
        variant = self._variant
        found = {Cause("network", key) for key in variant.networks}
        for module_id, module in variant.modules.items():
            found.add(Cause("module", module_id))
            found |= {self.device(Address(module_id, ref)) for ref in module.devices}
            named = (*module.feeds, *(device.feed for device in module.devices.values() if device.feed))
            found |= {Cause("feed", feed) for feed in named}
        found |= {Cause("feed", feed) for feed in variant.feeds}
        found |= {Cause("ground", feed.ground) for feed in variant.feeds.values() if feed.ground}
        found |= {Cause("network", own.commanded_over) for own in variant.placements.values() if own.commanded_over}
        return tuple(sorted(found, key=cause_key))

    def needs(self, load_id: str) -> Needs:
        """Return what a placed load cannot work without."""
        placement = self._variant.placements[load_id]
        addresses = tuple(map(parse_address, placement.on))
        path = load_path(self._variant, self._parts, self._loads[load_id], load_id, addresses)
        home = addresses[0].module
        own = self._walked(self._served(load_id, path, placement, home))
        command = self._walked(self._commanded(path, placement, home))
        return _joined(own, self._with_fail_safe(command, placement.fail_safe) if placement.fail_safe else command)

    def _served(self, load_id: str, path: LoadPath, placement: Placement, home: str) -> _Links:
        certain = {Cause("module", module) for module in path.modules}
        certain |= {self.device(address) for address in (*path.serving.certain, *path.stage)}
        possible = {self.device(address) for address in path.serving.possible}
        if not path.serving.certain and not placement.rail:
            # A rail that feeds no device may feed what is placed on the module only, such as a 5 V sensor.
            possible |= {self.device(address) for address in unclaimed_sources(self._variant, home)}
        opened: frozenset[CauseKind] = frozenset()
        module = self._variant.modules[home]
        if placement.rail == BATTERY:
            feeds = self._feeds(module, "")
            certain |= feeds.certain
            possible |= feeds.possible
            opened = feeds.open_kinds
        elif placement.rail in module.rails:
            certain.add(self.device(Address(home, module.rails[placement.rail].source)))
        for network_id, network in self._variant.networks.items():
            nodes = [node.at for node in network.nodes.values()]
            if load_id in nodes:
                certain.add(Cause("network", network_id))
                certain |= self._transceivers(nodes, home)
        return _Links(frozenset(certain), frozenset(possible), opened)

    def _commanded(self, path: LoadPath, placement: Placement, home: str) -> _Links:
        certain = {self.device(address) for address in path.command.certain}
        possible = frozenset(self.device(address) for address in path.command.possible)
        if placement.commanded_over:
            certain.add(Cause("network", placement.commanded_over))
            network = self._variant.networks.get(placement.commanded_over)
            nodes = [] if network is None else [node.at for node in network.nodes.values()]
            certain |= self._transceivers(nodes, home)
        return _Links(frozenset(certain), possible)

    def _transceivers(self, nodes: Collection[str], module_id: str) -> set[Cause]:
        """Return the nodes of a network that are devices of a module."""
        refs = self._variant.modules[module_id].devices
        return {self.device(Address(module_id, ref)) for ref in refs if f"{module_id}.{ref}" in nodes}

    def _with_fail_safe(self, command: Needs, fail_safe: str) -> Needs:
        """Return what a command needs where a fail-safe output stands in for it."""
        address = parse_address(fail_safe)
        module = self._variant.modules.get(address.module)
        device = None if module is None else module.devices.get(address.device)
        part = None if device is None else self._parts.get(device.part)
        able = None if part is None else part.fail_safe_output
        if able is False:
            return command
        output = self._walked(_Links(frozenset((self.device(address),))))
        certain = command.certain & output.certain
        every = (command.certain | command.possible) & (output.certain | output.possible)
        if able is None:
            # Nobody says whether the part has such an output.
            every |= command.certain | command.possible
        return Needs(certain=certain, possible=every - certain, open_kinds=command.open_kinds & output.open_kinds)

    def _walked(self, links: _Links) -> Needs:
        """Return everything that is reached over some links."""
        needs = Needs(certain=links.certain, possible=links.possible, open_kinds=links.open_kinds)
        for cause in links.certain:
            needs = _joined(needs, self._reached(cause))
        for cause in links.possible:
            needs = _joined(needs, _doubted(self._reached(cause)))
        return needs

    def _reached(self, start: Cause) -> Needs:
        """Return all that one thing needs, itself left out; remembered, because many loads ask."""
        known = self._reach.get(start)
        if known is None:
            certain, opened = self._closure({start}, doubtful=False)
            every, opened_too = self._closure({start}, doubtful=True)
            known = self._reach[start] = Needs(
                certain=frozenset(certain), possible=frozenset(every - certain), open_kinds=opened | opened_too
            )
        return known

    def _closure(self, starts: set[Cause], *, doubtful: bool) -> tuple[set[Cause], frozenset[CauseKind]]:
        found = set(starts)
        waiting = list(starts)
        opened: frozenset[CauseKind] = frozenset()
        while waiting:
            links = self._links(waiting.pop())
            opened |= links.open_kinds
            new = (links.certain | links.possible if doubtful else links.certain) - found
            found |= new
            waiting += new
        return found, opened

    def _links(self, cause: Cause) -> _Links:
        """Return what a thing needs at once; modules and ground points need nothing that is looked at."""
        if cause.kind == "feed":
            return self._links_of_feed(self._variant.feeds.get(cause.id))
        if cause.kind not in {"device", "controller"}:
            return _Links()
        address = parse_address(cause.id)
        module = self._variant.modules.get(address.module)
        device = None if module is None else module.devices.get(address.device)
        if module is None or device is None:
            return _Links()
        return self._links_of_device(address, module, device)

    def _links_of_feed(self, feed: Feed | None) -> _Links:
        """Return what a feed needs: its ground point and, where a channel switches it, that chip and its controller."""
        if feed is None:
            return _Links(open_kinds=frozenset(("ground",)))
        certain: set[Cause] = set()
        possible: set[Cause] = set()
        if feed.ground:
            certain.add(Cause("ground", feed.ground))
        if feed.switch:
            switch = parse_address(feed.switch)
            command, maybe = commanders(self._variant, self._parts, Address(switch.module, switch.device))
            certain |= {self.device(address) for address in (Address(switch.module, switch.device), *command)}
            possible |= {self.device(address) for address in maybe}
        opened: frozenset[CauseKind] = frozenset() if feed.ground else frozenset(("ground",))
        return _Links(frozenset(certain), frozenset(possible - certain), opened)

    def _links_of_device(self, address: Address, module: Module, device: Device) -> _Links:
        part = self._parts.get(device.part)
        certain = {Cause("module", address.module)}
        possible: set[Cause] = set()
        opened: frozenset[CauseKind] = frozenset()
        wired = dict(device.supply)
        for name in () if part is None else part.supplies:
            wired.setdefault(name, "")
        if not wired and (part is None or part.kind in FED_DIRECTLY):
            wired[BATTERY] = BATTERY if part is not None else ""
        for rail in wired.values():
            if rail in module.rails:
                certain.add(self.device(Address(address.module, module.rails[rail].source)))
                continue
            feeds = self._feeds(module, device.feed)
            if rail == BATTERY:
                certain |= feeds.certain
                possible |= feeds.possible
                self._add_reverse_fets(address, module, device, certain, possible)
            else:
                # It hangs on nothing: any supply of its module may be meant, or the battery.
                possible |= feeds.certain | feeds.possible | self._supplies(address)
            opened |= feeds.open_kinds
        return _Links(frozenset(certain), frozenset(possible - certain), opened)

    def _feeds(self, module: Module, own: str) -> _Links:
        if own:
            return _Links(frozenset((Cause("feed", own),)))
        feeds = frozenset(Cause("feed", feed) for feed in module.feeds)
        if not feeds:
            return _Links(open_kinds=FEED_CAUSES)
        return _Links(feeds) if len(feeds) == 1 else _Links(possible=feeds)

    def _supplies(self, address: Address) -> set[Cause]:
        """Return the chips of its module that could make a rail for a device."""
        found = set()
        for ref, device in self._variant.modules[address.module].devices.items():
            part = self._parts.get(device.part)
            if ref != address.device and part is not None and part.kind in SUPPLY_KINDS:
                found.add(Cause("device", f"{address.module}.{ref}"))
        return found

    def _add_reverse_fets(
        self, address: Address, module: Module, device: Device, certain: set[Cause], possible: set[Cause]
    ) -> None:
        """Add what battery current passes on its way: the reverse-battery FETs and what turns them on.

        One of several FETs in parallel may carry all of it, and a FET that is not turned on still conducts through its
        body diode: neither is lost for certain.
        """
        if device.behind_reverse_fet is False or device.carries == "feed":
            return
        fets = {ref: own for ref, own in module.devices.items() if own.carries == "feed"}
        in_parallel = {ref for ref, own in fets.items() if own.in_parallel_with}
        in_parallel |= {own.in_parallel_with for own in fets.values() if own.in_parallel_with}
        for ref in fets:
            is_sure = device.behind_reverse_fet is True and ref not in in_parallel and len(fets) == 1
            (certain if is_sure else possible).add(self.device(Address(address.module, ref)))
        for ref, own in module.devices.items():
            part = self._parts.get(own.part)
            if part is not None and part.kind == "reverse" and ref != address.device:
                possible.add(self.device(Address(address.module, ref)))


def _joined(one: Needs, other: Needs) -> Needs:
    certain = one.certain | other.certain
    return Needs(
        certain=certain,
        possible=(one.possible | other.possible) - certain,
        open_kinds=one.open_kinds | other.open_kinds,
    )


def _doubted(needs: Needs) -> Needs:
    return Needs(possible=needs.certain | needs.possible, open_kinds=needs.open_kinds)


def failure_walk(snapshot: Snapshot, variant_id: str) -> FailureWalk:
    """Take out every single thing of a variant and say what is lost.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.

    Raises:
        KeyError: There is no such variant.

    Source: reachability in a graph of what needs what; which thing needs which is common practice, no source.
    """
    proposal = snapshot.proposal
    variant = proposal.variants[variant_id]
    graph = Dependencies(variant, snapshot.parts, proposal.loads)
    served = [load_id for load_id in sorted(proposal.loads, key=natural_key) if is_served(variant, load_id)]
    needs = {load_id: graph.needs(load_id) for load_id in served}
    losses = _Losses(proposal, needs)
    return FailureWalk(
        variant=variant_id,
        effects=tuple(map(losses.effect, graph.causes())),
        common=tuple(
            common_causes(pair_id, pair.primary, pair.stand_in, needs, is_together=pair.stand_in_duty_ratio == 0)
            for pair_id, pair in sorted(proposal.pairs.items(), key=lambda own: natural_key(own[0]))
        ),
        needs=needs,
        not_served=tuple(sorted(proposal.loads.keys() - needs.keys(), key=natural_key)),
        no_feed=tuple(sorted(_without_feed(variant), key=natural_key)),
        no_ground=tuple(sorted((key for key, feed in variant.feeds.items() if not feed.ground), key=natural_key)),
        fed_elsewhere=tuple(load_id for load_id in served if proposal.loads[load_id].drive in LOW_SIDE_DRIVES),
        no_command_network=sum(not variant.placements[load_id].commanded_over for load_id in needs),
    )


def is_served(variant: Variant, load_id: str) -> bool:
    """Tell whether a module of the variant serves a load."""
    placement = variant.placements.get(load_id)
    return placement is not None and bool(placement.on) and parse_address(placement.on[0]).module in variant.modules


def common_causes(
    pair_id: str, primary: str, stand_in: str, needs: Mapping[str, Needs], *, is_together: bool = False
) -> CommonCauses:
    """Return what takes out both loads of a pair; of a load that no module serves nothing is known.

    Args:
        pair_id: Id of the pair.
        primary: The load that may fail.
        stand_in: The load that takes over.
        needs: What each served load needs.
        is_together: Whether both are needed together.
    """
    one, other = needs.get(primary), needs.get(stand_in)
    if one is None or other is None:
        return CommonCauses(pair=pair_id, primary=primary, stand_in=stand_in, is_together=is_together)
    shared = one.certain & other.certain
    every = (one.certain | one.possible) & (other.certain | other.possible)
    return CommonCauses(
        pair=pair_id,
        primary=primary,
        stand_in=stand_in,
        shared=tuple(sorted(shared, key=cause_key)),
        possible=tuple(sorted(every - shared, key=cause_key)),
        open_kinds=tuple(sorted(one.open_kinds | other.open_kinds)),
        is_together=is_together,
    )


class _Losses:
    """Which loads are lost with which cause: what loads need, turned around."""

    def __init__(self, proposal: Proposal, needs: Mapping[str, Needs]) -> None:
        self._proposal = proposal
        self._place = {load_id: place for place, load_id in enumerate(needs)}
        self._certain: dict[Cause, set[str]] = {}
        self._possible: dict[Cause, set[str]] = {}
        self._open: dict[CauseKind, set[str]] = {}
        self._unserved = proposal.loads.keys() - needs.keys()
        for load_id, own in needs.items():
            for cause in own.certain:
                self._certain.setdefault(cause, set()).add(load_id)
            for cause in own.possible:
                self._possible.setdefault(cause, set()).add(load_id)
            for kind in own.open_kinds:
                self._open.setdefault(kind, set()).add(load_id)

    def effect(self, cause: Cause) -> Effect:
        """Return what is lost with a cause."""
        lost = self._certain.get(cause, set())
        doubtful = (self._possible.get(cause, set()) | self._open.get(cause.kind, set())) - lost
        return Effect(
            cause=cause,
            outputs=self._sorted(lost, inputs=False),
            inputs=self._sorted(lost, inputs=True),
            possible_outputs=self._sorted(doubtful, inputs=False),
            possible_inputs=self._sorted(doubtful, inputs=True),
            stand_ins=_stand_ins(self._proposal, lost, doubtful, self._unserved),
        )

    def _sorted(self, loads: Iterable[str], *, inputs: bool) -> tuple[str, ...]:
        own = (load_id for load_id in loads if (self._proposal.loads[load_id].drive in INPUT_DRIVES) is inputs)
        return tuple(sorted(own, key=self._place.__getitem__))


def _stand_ins(
    proposal: Proposal, lost: Collection[str], doubtful: Collection[str], unserved: Collection[str]
) -> tuple[StandIn, ...]:
    def state(load_id: str) -> StandInState:
        if load_id in lost:
            return "lost"
        return "unknown" if load_id in doubtful or load_id in unserved else "works"

    return tuple(
        StandIn(
            pair=pair_id,
            primary=pair.primary,
            primary_state=state(pair.primary),
            stand_in=pair.stand_in,
            state=state(pair.stand_in),
            is_together=pair.stand_in_duty_ratio == 0,
        )
        for pair_id, pair in sorted(proposal.pairs.items(), key=lambda own: natural_key(own[0]))
        if any(load_id in lost or load_id in doubtful for load_id in (pair.primary, pair.stand_in))
    )


def _without_feed(variant: Variant) -> list[str]:
    return [
        module_id
        for module_id, module in variant.modules.items()
        if not module.feeds and not all(device.feed for device in module.devices.values())
    ]
