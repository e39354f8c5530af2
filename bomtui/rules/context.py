"""What a rule is, and what it may look at.

A rule is a function that is asked of a variant, all of it or group by group of its modules, and answers with a verdict
for every place it looked at, passed ones too. The place of a verdict is an id or address (`L11`, `ZREA`, `ZREA.U6`,
`ZREA.U6.3`), behind it the key of a field where the rule asks for one (`L11.time_share`); what stands in no module is
named by its table in the proposal (`zones.Z1.ambient`). Several verdicts may share a place where a rule asks several
things there.
"""

import inspect
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import msgspec

from bomtui.engine.electrics import Electrics
from bomtui.engine.module import ModuleOutput
from bomtui.engine.serving import Serving
from bomtui.model.bound import Value
from bomtui.model.finding import Need, Severity, Verdict
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.rollup import ModuleResult, Rollup
from bomtui.model.settings import Settings
from bomtui.model.variant import Device, Variant

SECTIONS = ("What it asks", "Why it matters", "Failing example", "Passing example", "Source")
"""Sections that the docstring of every rule has."""

Scope = Literal["vehicle", "modules"]
"""vehicle: all of a variant. modules: modules and loads that no placement ties to other ones, group by group; what the
rule says of them must depend on nothing outside the group."""


@dataclass(frozen=True, slots=True)
class Context:
    """All that a rule may look at.

    Attributes:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        variant: The variant.
        results: What was computed for each module.
        serving: Which module serves which load.
        addresses: Addresses of each load that a module serves, in natural order of the loads, each address once.
        electrics: Figures beyond the rollup.
        vehicle_rollup: What was computed for the whole vehicle; None where a rule may look at some modules only.
    """

    snapshot: Snapshot
    variant_id: str
    variant: Variant
    results: Mapping[str, ModuleResult]
    serving: Serving
    addresses: Mapping[str, tuple[Address, ...]]
    electrics: Electrics
    vehicle_rollup: Rollup | None = None

    @property
    def rollup(self) -> Rollup:
        """What was computed for the whole vehicle.

        Raises:
            LookupError: The rule is one of some modules only.
        """
        if self.vehicle_rollup is None:
            raise LookupError("a rule that is asked of some modules has asked for figures of the vehicle")
        return self.vehicle_rollup

    @property
    def proposal(self) -> Proposal:
        """The proposal."""
        return self.snapshot.proposal

    @property
    def loads(self) -> Mapping[str, Load]:
        """All loads of the vehicle by id."""
        return self.snapshot.proposal.loads

    @property
    def parts(self) -> Mapping[str, Part]:
        """Frozen parts by catalog key."""
        return self.snapshot.parts

    @property
    def settings(self) -> Settings:
        """Settings of the proposal."""
        return self.snapshot.proposal.settings

    def device(self, address: Address) -> Device | None:
        """Return the device of an address; None where the variant has no such device."""
        module = self.variant.modules.get(address.module)
        return None if module is None else module.devices.get(address.device)

    def part(self, address: Address) -> Part | None:
        """Return the frozen part of the device of an address; None where nothing is known of it."""
        device = self.device(address)
        return None if device is None else self.parts.get(device.part)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    Attributes:
        name: Subject and what is wrong with it, such as `channel.twice`.
        severity: How bad it is where it fails.
        failed: Sentence for a failed verdict; braces take the verdict's place, measured, limit and facts.
        undecided: Sentence for an undecided one.
        remedy: What to do, in words; takes the same.
        ask: The rule itself; its docstring says in `SECTIONS` what it asks and why.
        scope: Of what it is asked at once.
    """

    name: str
    severity: Severity
    failed: str
    undecided: str
    remedy: str
    ask: Callable[[Context], Iterable[Verdict]]
    scope: Scope = "vehicle"

    @property
    def text(self) -> str:
        """Title and sections, as people read them."""
        return inspect.cleandoc(self.ask.__doc__ or "")

    @property
    def title(self) -> str:
        """What a failed verdict says, in one line."""
        return self.text.partition("\n")[0].rstrip(".")

    @property
    def source(self) -> str:
        """Where the rule comes from: standard and clause, or common practice."""
        return " ".join(self.text.rpartition(f"{SECTIONS[-1]}:")[2].split())


def context_of(
    snapshot: Snapshot,
    variant_id: str,
    rollup: Rollup,
    serving: Serving,
    outputs: Mapping[str, ModuleOutput] | None = None,
) -> Context:
    """Gather what the rules look at.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        rollup: What was computed for it from this snapshot.
        serving: Which module serves which load, as computed with it.
        outputs: Output of each module, as computed with it; computed again as far as it is needed where None.

    Raises:
        KeyError: The proposal has no such variant.
    """
    variant = snapshot.proposal.variants[variant_id]
    addresses = {
        load_id: tuple(dict.fromkeys(parse_address(text) for text in variant.placements[load_id].on))
        for load_id in serving.module_of
    }
    electrics = Electrics(snapshot, variant_id, serving, outputs=outputs)
    return Context(snapshot, variant_id, variant, rollup.modules, serving, addresses, electrics, rollup)


def groups_of(context: Context, field: Literal["exclusive_group", "together_group"]) -> dict[str, dict[str, Load]]:
    """Return the loads of each group of two or more by id, all in natural order."""
    groups: dict[str, dict[str, Load]] = {}
    for load_id in sorted(context.loads, key=natural_key):
        load = context.loads[load_id]
        group: str = getattr(load, field)
        if group:
            groups.setdefault(group, {})[load_id] = load
    return {group: groups[group] for group in sorted(groups, key=natural_key) if len(groups[group]) > 1}


def passed(place: str, measured: Value | str = None, limit: Value | str = None, unit: str = "") -> Verdict:
    """Say that a place is as the rule wants it."""
    return Verdict(place=place, outcome="passed", measured=measured, limit=limit, unit=unit)


def failed(
    place: str,
    measured: Value | str = None,
    limit: Value | str = None,
    unit: str = "",
    **facts: str,
) -> Verdict:
    """Say that a place is not as the rule wants it.

    Args:
        place: Id or address.
        measured: What the place has.
        limit: What it is held against.
        unit: Unit of both.
        facts: What else the sentences of the rule name.
    """
    return Verdict(place=place, outcome="failed", measured=measured, limit=limit, unit=unit, facts=facts)


def warned(
    place: str, measured: Value | str = None, limit: Value | str = None, unit: str = "", **facts: str
) -> Verdict:
    """Say that a place is not quite as the rule wants it: a warning, whatever the rule's own severity.

    For the arguments see `failed`.
    """
    return Verdict(
        place=place, outcome="failed", measured=measured, limit=limit, unit=unit, severity="warning", facts=facts
    )


def helped_by(verdict: Verdict, need: Need) -> Verdict:
    """Say of a verdict what part would help."""
    return msgspec.structs.replace(verdict, need=need)


def undecided(
    place: str, measured: Value | str = None, limit: Value | str = None, unit: str = "", **facts: str
) -> Verdict:
    """Say that something unknown decides; a warning, whatever the rule's own severity (common practice).

    For the arguments see `failed`.
    """
    return Verdict(
        place=place, outcome="undecided", measured=measured, limit=limit, unit=unit, severity="warning", facts=facts
    )


def not_applicable(place: str) -> Verdict:
    """Say that the question of the rule does not arise at a place; such a place counts as not checked."""
    return Verdict(place=place, outcome="not_applicable")
