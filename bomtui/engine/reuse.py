"""Which modules keep the result of a former rollup."""

from collections.abc import Iterable

from bomtui.engine.changes import are_the_same, changed_keys, electrical
from bomtui.engine.serving import Serving
from bomtui.model.proposal import Snapshot


def untouched_modules(
    variant_id: str, now: Snapshot, then: Snapshot, serving: Serving, former_serving: Serving
) -> set[str]:
    """Return the modules of a variant of which everything that their result depends on is the very same object.

    Args:
        variant_id: Id of a variant that both snapshots have.
        now: Snapshot.
        then: A former one.
        serving: Loads per module, now.
        former_serving: The same, then.
    """
    proposal, former = now.proposal, then.proposal
    if (
        not are_the_same(electrical(proposal.vehicle), electrical(former.vehicle))
        or proposal.modes is not former.modes
        or proposal.zones is not former.zones
        or proposal.settings is not former.settings
    ):
        return set()
    variant, former_variant = proposal.variants[variant_id], former.variants[variant_id]
    touched = _modules_of(changed_keys(proposal.loads, former.loads), serving)
    parts = changed_keys(now.parts, then.parts)
    return {
        module_id
        for module_id, module in variant.modules.items()
        if module_id not in touched
        and former_variant.modules.get(module_id) is module
        and former_serving.per_module[module_id] == serving.per_module[module_id]
        and not (parts and parts.intersection((*module.items, *[device.part for device in module.devices.values()])))
    }


def _modules_of(loads: Iterable[str], serving: Serving) -> set[str]:
    return {module for load_id in loads if (module := serving.module_of.get(load_id)) is not None}
