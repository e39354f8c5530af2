"""Loads dimmed to an on-time that their channel cannot make."""

from collections.abc import Iterator, Mapping

from bomtui.engine.on_time import STAND_IN, Dimmed, dimmed, least_on_time
from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.comparing import low_end
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A load is dimmed to an on-time that is too short for its channel.

    What it asks:
        For every load that is dimmed by a channel, in a mode or as a stand-in: is the shortest on-time of its PWM at
        least some, by setting, of the channel's delays and switch-on edges together, and at least one of them? Less is
        a warning, less than one is an error. It cannot tell where frequency, delay or edge are not given. Behind FETs
        of a power stage and behind converters it is not asked.

    Why it matters:
        A channel that is told to switch off before it is on gives another duty than asked, or none at all, and is in
        its edges, where it heats most, all the time.

    Failing example:
        A lamp at 5 % of 200 Hz, 250 us, on a switch with 40 us of delay and 110 us of edge.

    Passing example:
        The same lamp at 24 % of 120 Hz, 2 ms.

    Source:
        Common practice, no source; delay and edge are data of the part.
    """
    found = list(dimmed(context.electrics))
    asked = {own.load_id for own in found}
    for own in found:
        yield _verdict(context, own)
    yield from (not_applicable(load_id) for load_id in context.addresses if load_id not in asked)


def _verdict(context: Context, own: Dimmed) -> Verdict:
    calc, device = context.electrics.calc, context.device(own.device)
    limit = least_on_time(calc, own.part, context.settings.limits.on_time_edges)
    mode, shortest = _shortest(own.on_s)
    where = mode if mode == STAND_IN else f"in {mode}"
    facts = {"device": str(own.device), "part": "no part" if device is None else device.part, "where": where}
    short = exceeds(limit, shortest)
    if short is None:
        return undecided(own.load_id, shortest, limit, "s", **facts)
    if not short:
        return passed(own.load_id, shortest, limit, "s")
    never = exceeds(least_on_time(calc, own.part, 1), shortest)
    say = failed if never else warned
    return say(own.load_id, shortest, limit, "s", **facts)


def _shortest(on_s: Mapping[str, Value]) -> tuple[str, Value]:
    unknown = next((mode for mode, value in on_s.items() if value is None), None)
    if unknown is not None:
        return unknown, None
    return min(on_s.items(), key=lambda own: low_end(own[1]))


RULE = Rule(
    name="pwm.ontime",
    severity="error",
    failed="{place} is on for {measured} of a PWM period {where}, and {device} ({part}) needs {limit}",
    undecided="{place} is on for {measured} of a PWM period {where}, {device} ({part}) needs {limit}: whether that"
    " suffices is unknown",
    remedy="Lower the PWM frequency of {place}, raise its duty, or place it on a channel with steeper edges.",
    ask=ask,
    scope="modules",
)
