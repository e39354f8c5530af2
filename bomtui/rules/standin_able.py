"""Stand-ins whose channels cannot do what they do while they stand in."""

from collections.abc import Iterator

from bomtui.engine.fit import Check, Comparison
from bomtui.engine.inrush import MOTOR_KINDS, needed_limit_a
from bomtui.engine.standing_in import StandingIn, standing_in
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned

WORDS: dict[Check, str] = {
    "side": "the part does not serve it so",
    "pwm": "the part takes no such PWM frequency",
    "current": "a channel does not carry its current",
}
UNKNOWN_WORDS: dict[Check, str] = {
    "side": "which drive codes the part serves is not given",
    "pwm": "PWM frequency of the load or of the part is not given",
    "current": "current or rating is not given",
}


def ask(context: Context) -> Iterator[Verdict]:
    """A stand-in hangs on a channel that cannot do what standing in asks of it.

    What it asks:
        For every pair of a load and its stand-in and every device on whose channels the stand-in is placed: where its
        duty is below 100 %, does the part serve dimmed loads at the load's PWM frequency? In all modes in which the
        load is on that it stands in for, is its current at most what a channel carries, what shares the channel
        included, and is the current limit of the channel high enough for its inrush (the limits of `inrush.limit`)? It
        cannot tell where the pair gives no duty, or where a value of load or part is not given. A pair that is needed
        together (duty 0 %) and a stand-in without a channel are not asked.

    Why it matters:
        A stop lamp that cannot be dimmed is no tail lamp: the driver behind sees a vehicle that brakes all the time.
        Whether one lamp may do another one's work is a matter of lighting law: a pair that passes is electrically
        possible, type approval is not checked.

    Failing example:
        A stop lamp that stands in for the tail lamp at 24 %, on a relay driver without PWM.

    Passing example:
        The same lamp on a switch for PWM of 400 Hz whose channel carries it all night.

    Source:
        Common practice, no source; inrush as `inrush.limit` has it.
    """
    for pair_id in sorted(context.proposal.pairs, key=natural_key):
        pair = context.proposal.pairs[pair_id]
        facts = {"primary": pair.primary, "stand_in": pair.stand_in}
        if pair.stand_in not in context.addresses:
            yield undecided(pair_id, **facts, device="", why=f"no module serves {pair.stand_in}")
        elif pair.stand_in_duty_ratio is None:
            yield undecided(pair_id, **facts, device="", why="the duty at which it stands in is not given")
        elif pair.stand_in_duty_ratio == 0 or not any(address.channel for address in context.addresses[pair.stand_in]):
            yield not_applicable(pair_id)
        else:
            for own in standing_in(context.electrics, pair_id, pair):
                yield from _verdicts(context, own, facts)


def _verdicts(context: Context, own: StandingIn, facts: dict[str, str]) -> Iterator[Verdict]:
    on = {**facts, "device": f" on {own.device} ({own.part})"}
    compared = [_compared(own.pair_id, found, on) for found in own.comparisons if not found.fits]
    start = _start(context, own, on)
    said = [*compared, *([] if start is None else [start])]
    if not own.comparisons:
        yield not_applicable(own.pair_id)
    elif said:
        yield from said
    else:
        yield passed(own.pair_id)


def _compared(pair_id: str, found: Comparison, facts: dict[str, str]) -> Verdict:
    if found.fits is None:
        why = UNKNOWN_WORDS[found.check]
        return undecided(pair_id, found.measured, found.limit, found.unit, **facts, why=why)
    return failed(pair_id, found.measured, found.limit, found.unit, **facts, so=WORDS[found.check])


def _start(context: Context, own: StandingIn, facts: dict[str, str]) -> Verdict | None:
    """Answer for the inrush; None where it is not asked, or low enough."""
    pair = context.proposal.pairs[own.pair_id]
    if not own.peak_a or context.loads[pair.stand_in].kind in MOTOR_KINDS:
        return None
    limits, calc = context.settings.limits, context.electrics.calc
    worst = worst_of(own.peak_a, own.limit_a)
    early, ever = (
        exceeds(calc(needed_limit_a, peak_a=worst.value, share_ratio=ratio), own.limit_a)
        for ratio in (limits.inrush_warning_ratio, limits.inrush_error_ratio)
    )
    if ever:
        return failed(own.pair_id, worst.value, own.limit_a, "A", **facts, so="it may never start")
    if early:
        return warned(own.pair_id, worst.value, own.limit_a, "A", **facts, so="it starts late")
    if early is None:
        why = "inrush or current limit is not given"
        return undecided(own.pair_id, worst.value, own.limit_a, "A", **facts, why=why)
    return None


RULE = Rule(
    name="standin.able",
    severity="error",
    failed="{stand_in}{device} stands in for {primary} and cannot: {measured} against {limit}: {so}",
    undecided="{stand_in}{device} stands in for {primary}; whether it can is unknown: {why}",
    remedy=(
        "Place {stand_in} on a channel for its duty, current and inrush while it stands in; that makes the pair"
        " electrically possible, type approval is not checked."
    ),
    ask=ask,
)
