"""Every load on every part that might serve it, one chip each, in a module that is made for asking only.

The module stands where the true one stands and has its controllers, supplies and rails, so that engine and rules say of
each load on each part what they would say of it there. Nothing of what decides is computed here.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import msgspec

from bomtui.edit.wiring import commander_of, supply_of
from bomtui.engine.calc import PLAIN
from bomtui.engine.channel_current import channel_current, on_currents
from bomtui.engine.electrics import Electrics
from bomtui.engine.fit import Given, compare, meets_supply
from bomtui.engine.on_heat import OnHeat, own_w
from bomtui.engine.rollup import rollup
from bomtui.model.bound import Value
from bomtui.model.finding import Finding
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.variant import Device, Module, Placement, Variant
from bomtui.packing.kept import OF_A_LOAD
from bomtui.rules.registry import RULES
from bomtui.rules.run import review

_RULES = tuple(rule for rule in RULES if rule.name in OF_A_LOAD)


@dataclass(frozen=True, slots=True)
class Asked:
    """What engine and rules say of one load on one part.

    Attributes:
        load_id: The load.
        part: Catalog key.
        channels: Channels that it takes there.
        findings: Findings of the load on it, of the chip with it alone, and of the part.
        heats: Heat of the chip with the load alone, per mode.
    """

    load_id: str
    part: str
    channels: int
    findings: tuple[Finding, ...]
    heats: tuple[OnHeat, ...]


@dataclass(frozen=True, slots=True)
class Answers:
    """All that was asked in one module.

    Attributes:
        asked: Per load and part.
        own_w: Per part, the heat of its own supply current, per mode.
        part_findings: Findings of a part itself, wherever it stands.
    """

    asked: tuple[Asked, ...]
    own_w: Mapping[str, tuple[Value, ...]]
    part_findings: Mapping[str, tuple[Finding, ...]]


def ask(
    snapshot: Snapshot,
    variant_id: str,
    module_id: str,
    loads: Mapping[str, str],
    parts: Mapping[str, Part],
    staying: Iterable[str],
) -> Answers:
    """Ask engine and rules of every load on every part of which the side suits it.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        module_id: Module in which the loads are served.
        loads: The loads, each with the reference of the device that it is on now; empty where it is on none.
        parts: Parts to ask, by catalog key.
        staying: References of the devices that stay in the module whatever becomes of the loads.
    """
    probe = _Probe(snapshot, variant_id, module_id, loads, parts, frozenset(staying))
    return probe.answers()


def channels_for(proposal: Proposal, load_id: str, load: Load, part: Part) -> int:
    """Return how many channels of a part a load takes: as its drive code asks, in parallel where one is too few.

    0 where the part has too few, or no channels for loads.

    Args:
        proposal: For modes and settings.
        load_id: Id of the load.
        load: The load.
        part: The part.
    """
    needed = proposal.settings.habit(load.drive).channels
    if not needed or part.channels is None or part.channels < needed:
        return 0
    most = part.channels // needed if part.parallel_ok else 1
    on = on_currents(PLAIN, {load_id: load}, proposal)[load_id]
    mismatch = proposal.settings.limits.parallel_mismatch_ratio
    for shares in range(1, most + 1):
        current = channel_current(PLAIN, {load_id: (load, on, float(shares))}, mismatch).current_a
        given = Given(
            part=part,
            channels=needed * shares,
            joined="parallel" if shares > 1 else None,
            on_battery=meets_supply(part),
            supply=proposal.vehicle.supply,
            current_a=current,
        )
        found = compare("current", load, given, proposal.settings)
        if found is None or found.fits is not False:
            return needed * shares
    return needed


class _Probe:
    def __init__(
        self,
        snapshot: Snapshot,
        variant_id: str,
        module_id: str,
        loads: Mapping[str, str],
        parts: Mapping[str, Part],
        staying: frozenset[str],
    ) -> None:
        self.snapshot = snapshot
        self.variant_id = variant_id
        self.module_id = module_id
        self.parts = parts
        proposal = snapshot.proposal
        self.module: Module = proposal.variants[variant_id].modules[module_id]
        self.loads: dict[str, Load] = {}
        self.placements: dict[str, Placement] = {}
        self.devices: dict[str, Device] = {ref: device for ref, device in self.module.devices.items() if ref in staying}
        self.asked: list[tuple[str, str, str, str, int]] = []
        self.empty: dict[str, str] = {}
        number = 0
        for key in sorted(parts, key=natural_key):
            for load_id, ref in loads.items():
                load = proposal.loads[load_id]
                channels = channels_for(proposal, load_id, load, parts[key])
                if not channels or load.drive not in parts[key].sides:
                    continue
                number += 1
                self._add(f"P{number}", load_id, key, channels, self.module.devices.get(ref))
            self.empty[key] = f"E{len(self.empty)}"
            self.devices[self.empty[key]] = self._device(key, None)

    def _add(self, ref: str, load_id: str, key: str, channels: int, former: Device | None) -> None:
        own, load = f"{load_id}-{ref}", self.snapshot.proposal.loads[load_id]
        # Alone on its chip it is in no group, and apart from nothing.
        self.loads[own] = msgspec.structs.replace(load, exclusive_group="", together_group="", separate_from=())
        self.devices[ref] = self._device(key, former)
        proposal = self.snapshot.proposal
        needed = proposal.settings.habit(load.drive).channels
        on = tuple(str(Address(self.module_id, ref, channel)) for channel in range(1, channels + 1))
        placed = proposal.variants[self.variant_id].placements.get(load_id)
        joined = "parallel" if channels > needed else None
        place = Placement(on=on) if placed is None else msgspec.structs.replace(placed, on=on, stage=(), fail_safe="")
        self.placements[own] = msgspec.structs.replace(place, joined=joined)
        self.asked.append((own, ref, load_id, key, channels))

    def _device(self, key: str, former: Device | None) -> Device:
        """Return a device of a part, wired like the one whose load it would take."""
        part = self.parts[key]
        parts = {**self.parts, **self.snapshot.parts}
        if former is None:
            wired = supply_of(self.module, part, {})
            return Device(part=key, supply=wired, commanded_by=commander_of(self.module, part, parts))
        return Device(
            part=key,
            supply=supply_of(self.module, part, former.supply),
            terminal=former.terminal,
            feed=former.feed,
            commanded_by=former.commanded_by or commander_of(self.module, part, parts),
            behind_reverse_fet=former.behind_reverse_fet,
        )

    def answers(self) -> Answers:
        snapshot = self._snapshot()
        computed = rollup(snapshot, self.variant_id)
        found = review(
            snapshot, self.variant_id, computed.result, computed.serving, rules=_RULES, outputs=computed.modules
        ).findings
        by_place: dict[str, list[Finding]] = {}
        for finding in found:
            for place in self._places(finding.place):
                by_place.setdefault(place, []).append(finding)
        electrics = Electrics(snapshot, self.variant_id, computed.serving, outputs=computed.modules)
        heats = electrics.heat_max[self.module_id]
        asked = tuple(
            Asked(
                load_id,
                key,
                channels,
                tuple(by_place.get(own, [])) + tuple(by_place.get(ref, [])),
                heats.get(ref, ()),
            )
            for own, ref, load_id, key, channels in self.asked
        )
        trees = electrics.trees[self.module_id]
        own_heat = {
            key: tuple(own_w(PLAIN, ref, self.parts[key], trees[mode].heat_worst) for mode in electrics.awake)
            for key, ref in self.empty.items()
        }
        part_findings = {key: tuple(by_place.get(f"parts.{key}", [])) for key in self.parts}
        return Answers(asked, own_heat, part_findings)

    def _snapshot(self) -> Snapshot:
        proposal = self.snapshot.proposal
        module = msgspec.structs.replace(self.module, devices=self.devices)
        variant = Variant(
            modules={self.module_id: module},
            placements=self.placements,
            feeds=proposal.variants[self.variant_id].feeds,
        )
        own = msgspec.structs.replace(
            proposal,
            loads=self.loads,
            pairs={},
            decompositions={},
            variants={self.variant_id: variant},
        )
        return Snapshot(proposal=own, parts={**self.parts, **self.snapshot.parts}, number=self.snapshot.number)

    def _places(self, place: str) -> Iterator[str]:
        """Yield whose place it is: a load's, a device's, a part's."""
        if place in self.loads or place.startswith("parts."):
            yield place
            return
        head = place.split(".")
        if head[0] == self.module_id and len(head) > 1:
            yield parse_address(f"{head[0]}.{head[1]}").device


def drivers_of(parts: Mapping[str, Part]) -> dict[str, Part]:
    """Return the parts that have channels for loads, in natural order."""
    return {key: parts[key] for key in sorted(parts, key=natural_key) if parts[key].kind in DRIVER_KINDS}
