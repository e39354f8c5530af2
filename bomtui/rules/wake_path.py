"""Modules that are needed while the vehicle is parked and that nothing wakes."""

from collections.abc import Iterator

from bomtui.engine.networks.reach import modules_on, networks_of
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.variant import Module
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.wording import listed

NEVER = "none"
"""What a part says that nothing wakes."""
LOCAL = "local"
"""What a part says that a signal at its own pin wakes, besides its bus."""


def ask(context: Context) -> Iterator[Verdict]:
    """A module sleeps while the vehicle is parked, serves a load that is in use then, and nothing can wake it.

    What it asks:
        For every module that serves a load in use while the vehicle is parked: is it kept alive, does it wake by itself
        now and then, which a sleep share of all these loads says, or does it hold a transceiver on terminal 30 that a
        signal of its own wakes, or that its bus wakes and that shares a network with a module that is kept alive? It
        cannot tell where a part does not say what wakes it, or no network is named. Modules whose loads rest then are
        not asked.

    Why it matters:
        Either the function is missing in the parked vehicle, or somebody keeps the module awake in the end, which the
        battery pays for.

    Failing example:
        An alarm horn on a module whose transceiver sleeps for good with terminal 15.

    Passing example:
        The same module with a transceiver on terminal 30 that the body module wakes over CAN.

    Source:
        Common practice, no source.
    """
    parked = context.proposal.vehicle.parked_mode
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        used = [
            own.load_id
            for own in context.serving.per_module[module_id]
            if context.loads[own.load_id].time_share_ratio.get(parked)
        ]
        if not used:
            yield not_applicable(module_id)
            continue
        if module.keep_alive:
            yield passed(module_id, "kept alive", "a way to wake it")
            continue
        if all(context.loads[load_id].sleep_share_ratio is not None for load_id in used):
            yield passed(module_id, "itself, now and then", "a way to wake it")
            continue
        wakers = [_waker(context, module_id, module, ref) for ref in sorted(module.devices, key=natural_key)]
        found = [waker for waker in wakers if waker]
        if found:
            yield passed(module_id, found[0], "a way to wake it")
        elif None in wakers:
            yield undecided(module_id, None, "a way to wake it", loads=listed(used))
        else:
            yield warned(module_id, "nothing", "a way to wake it", loads=listed(used))


def _waker(context: Context, module_id: str, module: Module, ref: str) -> str | None:
    """Return what wakes a module through one of its devices; empty for nothing, None where unknown."""
    device = module.devices[ref]
    part = context.parts.get(device.part)
    if part is None or device.terminal != "30" or not (part.kind.startswith("transceiver") or part.kind == "sbc"):
        return ""
    if part.wake == NEVER:
        return ""
    if LOCAL in part.wake:
        return f"a pin of {ref}"
    if not context.variant.networks:
        return None
    at = str(Address(module_id, ref))
    others = {
        other
        for key in networks_of(context.variant, at)
        for other in modules_on(context.variant.networks[key])
        if other != module_id and other in context.variant.modules and context.variant.modules[other].keep_alive
    }
    if not others:
        return ""
    return f"{min(others, key=natural_key)} over {ref}" if part.wake else None


RULE = Rule(
    name="wake.path",
    severity="warning",
    failed="{place} sleeps while the vehicle is parked, {loads} in it are in use then, and {measured} wakes it",
    undecided="{place} sleeps while the vehicle is parked and {loads} in it are in use then: whether anything wakes it"
    " is unknown",
    remedy="Put {place} on a network with a module that is kept alive, by a transceiver on terminal 30 that wakes, or"
    " keep it alive.",
    ask=ask,
)
