"""Modules that are needed while the vehicle is parked and that nothing wakes."""

from collections.abc import Iterator

from bomtui.engine.networks.wake import wakers
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.wording import listed


def ask(context: Context) -> Iterator[Verdict]:
    """A module sleeps while the vehicle is parked, serves a load that is in use then, and nothing can wake it.

    What it asks:
        For every module that serves a load in use while the vehicle is parked: is it kept alive, does it wake by itself
        now and then, which a sleep share of all these loads says, or does it hold a transceiver on terminal 30 that a
        pin or timer of its own wakes, or that its bus wakes and that shares a network with a module that is kept alive?
        It cannot tell where a part does not say what wakes it, or no network is named. Modules whose loads rest then
        are not asked.

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
        ways = wakers(context.variant, context.parts, module_id)
        sure = [own.words for own in ways if own.by]
        if sure:
            yield passed(module_id, sure[0], "a way to wake it")
        elif ways:
            yield undecided(module_id, None, "a way to wake it", loads=listed(used))
        else:
            yield warned(module_id, "nothing", "a way to wake it", loads=listed(used))


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
