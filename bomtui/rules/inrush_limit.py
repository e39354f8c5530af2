"""Loads whose inrush a channel cuts off."""

from collections.abc import Iterator

from bomtui.engine.inrush import MOTOR_KINDS, Start, needed_limit_a, starts
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A channel limits the inrush of a load so much that the load starts late or never.

    What it asks:
        For every load that is no motor and every device whose channels limit its current: is the smallest current limit
        at least a share, by setting, of the largest inrush in any mode, a larger one for a warning? The inrush is the
        peak of the load list at the highest supply; of a cold filament at least 15 times its steady current, limited by
        the resistance of the loop (settings); of an input capacitor without a listed peak the current of the switch's
        edge. It cannot tell where inrush or limit are not given. Behind a converter and behind FETs of a power stage it
        is not asked.

    Why it matters:
        A switch that limits the inrush heats at once: the lamp lights late, and a switch that trips and tries again may
        never light it when it is cold.

    Failing example:
        A cold lamp of 55 W that asks for 62 A, on a channel that limits at 30 A.

    Passing example:
        The same lamp on a channel that limits at 60 A.

    Source:
        Inrush of 10 to 15 times the steady current: an installation guide, seen second-hand; the shares of 70 % and
        50 % are common practice, no source.
    """
    for own in starts(context.electrics):
        yield not_applicable(own.load_id) if context.loads[own.load_id].kind in MOTOR_KINDS else _verdict(context, own)


def _verdict(context: Context, own: Start) -> Verdict:
    if not own.peak_a:
        return not_applicable(own.load_id)
    limits, device, calc = context.settings.limits, context.device(own.device), context.electrics.calc
    limit_a = None if own.part is None else own.part.current_limit_a.lower
    worst = worst_of(own.peak_a, limit_a)
    early, ever = (
        calc(needed_limit_a, peak_a=worst.value, share_ratio=ratio)
        for ratio in (limits.inrush_warning_ratio, limits.inrush_error_ratio)
    )
    facts = {"device": str(own.device), "part": "no part" if device is None else device.part}
    if exceeds(ever, limit_a):
        verdict = failed(own.load_id, worst.value, limit_a, "A", **facts, mode=worst.mode, so="it may never start")
    elif exceeds(early, limit_a):
        verdict = warned(own.load_id, worst.value, limit_a, "A", **facts, mode=worst.mode, so="it starts late")
    elif exceeds(early, limit_a) is None:
        return undecided(own.load_id, worst.value, limit_a, "A", **facts)
    else:
        return passed(own.load_id, worst.value, limit_a, "A")
    if own.part is None or not isinstance(early, float):
        return verdict
    return helped_by(verdict, Need(kinds=(own.part.kind,), least={"current_limit_a": early}))


RULE = Rule(
    name="inrush.limit",
    severity="error",
    failed="{place} draws {measured} when it is switched on cold in {mode}, {device} ({part}) limits at {limit}: {so}",
    undecided="{place} draws {measured} when it is switched on, {device} ({part}) limits at {limit}: whether it starts"
    " is unknown",
    remedy="Place {place} on a channel with a higher current limit, or switch it on softly by PWM.",
    ask=ask,
    scope="modules",
)
