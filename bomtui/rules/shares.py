"""A variant in shares: modules that no placement ties to other ones, each with all that is theirs and nothing else.

What a rule asks of a share depends on nothing outside it. Its answer holds as long as everything in the share is the
very same object.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import msgspec

from bomtui.engine.electrics import Electrics
from bomtui.engine.module import ModuleOutput
from bomtui.engine.serving import Serving
from bomtui.model.ids import parse_address
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.variant import Module, Placement, Variant
from bomtui.rules.context import Context

OWN_TABLES = frozenset(("loads", "variants"))
"""Tables of a proposal of which a share has its own part."""
OWN_FIELDS = frozenset(("modules", "placements", "accepted"))
"""The same of a variant; what is accepted is no matter of rules."""


@dataclass(frozen=True, slots=True)
class Share:
    """Some modules of a variant and the loads that are placed there, or the loads that are placed nowhere.

    Attributes:
        names: Modules that its placements name, the variant's own ones among them; empty for loads without a place.
        made_of: Every record that rules can reach from its context, and its id.
        modules: Its modules.
        loads: Its loads.
    """

    names: tuple[str, ...]
    made_of: tuple[object, ...]
    modules: tuple[str, ...]
    loads: tuple[str, ...]


def shares_of(context: Context, outputs: Mapping[str, ModuleOutput] | None) -> tuple[Share, ...]:
    """Divide a variant; its shares have every module and every load once.

    Args:
        context: All that a rule may look at.
        outputs: Output of each module, as computed with the rollup; None where it is not at hand.
    """
    proposal, variant, parts = context.proposal, context.variant, context.parts
    common = (*_others(proposal, OWN_TABLES), *_others(variant, OWN_FIELDS), context.variant_id)
    computed: Mapping[str, object] = context.results if outputs is None else outputs
    shares = []
    for names, loads in _tied(context):
        modules = tuple(name for name in names if name in variant.modules)
        records = [variant.modules[name] for name in modules]
        keys = [key for module in records for key in _parts(module)]
        made_of = (
            *common,
            *names,
            *records,
            *map(computed.get, modules),
            *map(parts.get, keys),
            *loads,
            *map(proposal.loads.get, loads),
            *map(variant.placements.get, loads),
        )
        shares.append(Share(names, made_of, modules, loads))
    return tuple(shares)


def context_in(share: Share, context: Context, outputs: Mapping[str, ModuleOutput] | None) -> Context:
    """Return what a rule may look at in a share; it cannot reach anything else.

    Args:
        share: One of the shares of the variant.
        context: All of the variant.
        outputs: As for `shares_of`.
    """
    proposal, variant, serving = context.proposal, context.variant, context.serving
    loads = {load_id: proposal.loads[load_id] for load_id in share.loads if load_id in proposal.loads}
    modules = {module_id: variant.modules[module_id] for module_id in share.modules}
    placements = {key: variant.placements[key] for key in share.loads if key in variant.placements}
    own_variant = msgspec.structs.replace(variant, modules=modules, placements=placements, accepted={})
    own_proposal = msgspec.structs.replace(proposal, loads=loads, variants={context.variant_id: own_variant})
    keys = {key for module in modules.values() for key in _parts(module)}
    parts = {key: part for key, part in context.parts.items() if key in keys}
    snapshot = Snapshot(proposal=own_proposal, parts=parts, number=context.snapshot.number)
    own_serving = Serving(
        placements,
        loads,
        {module_id: serving.per_module[module_id] for module_id in modules},
        {load_id: serving.module_of[load_id] for load_id in share.loads if load_id in serving.module_of},
    )
    own_outputs = None if outputs is None else {module_id: outputs[module_id] for module_id in modules}
    return Context(
        snapshot,
        context.variant_id,
        own_variant,
        {module_id: context.results[module_id] for module_id in modules},
        own_serving,
        {load_id: context.addresses[load_id] for load_id in own_serving.module_of},
        Electrics(snapshot, context.variant_id, own_serving, outputs=own_outputs),
    )


def _others(record: Proposal | Variant, own: frozenset[str]) -> Iterator[object]:
    return (getattr(record, name) for name in record.__struct_fields__ if name not in own)


def _parts(module: Module) -> Iterator[str]:
    yield from (device.part for device in module.devices.values())
    yield from module.items


def _tied(context: Context) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Sort modules and loads into groups that no placement crosses, whether the modules that it names exist or not."""
    group_of: dict[str, str] = {module_id: module_id for module_id in context.variant.modules}

    def group(name: str) -> str:
        while group_of.setdefault(name, name) != name:
            name = group_of[name]
        return name

    names_of = {load_id: _named(placement) for load_id, placement in context.variant.placements.items()}
    for names in names_of.values():
        for name in names[1:]:
            group_of[group(name)] = group(names[0])
    names_in: dict[str, list[str]] = {}
    for name in group_of:
        names_in.setdefault(group(name), []).append(name)
    loads_in: dict[str, list[str]] = {}
    for load_id in dict.fromkeys((*context.serving.module_of, *context.loads, *names_of)):
        names = names_of.get(load_id, ())
        loads_in.setdefault(group(names[0]) if names else "", []).append(load_id)
    return [(tuple(names_in.get(key, ())), tuple(loads_in.get(key, ()))) for key in (*names_in, "")]


def _named(placement: Placement) -> tuple[str, ...]:
    """Return the modules that a placement names, each once."""
    return tuple(dict.fromkeys(parse_address(text).module for text in (*placement.on, *placement.stage)))
