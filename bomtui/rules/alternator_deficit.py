"""Modes in which the vehicle draws more than its alternator gives."""

from collections.abc import Iterator

from bomtui.engine.alternator import deficit_ratio, usable_alternator_a
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.quantity import text
from bomtui.model.rollup import ModeCurrent
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned
from bomtui.rules.wording import printed


def ask(context: Context) -> Iterator[Verdict]:
    """The vehicle draws more than its alternator gives.

    What it asks:
        For every mode with the engine on: is the mean current of loads and electronics at most a share, by setting, of
        what the hot alternator gives? If not, and the battery loses no more than a share of its charge in the time of
        the mode, or in an hour where it does not say how long it lasts, that is a warning. It cannot tell where a
        current, the alternator or the battery is not given. Modes with the engine off or cranking are not asked.

    Why it matters:
        A battery that is charged less than it gives is empty after a week of short trips, however good the starter is.

    Failing example:
        70 A at idle, where the hot alternator gives 60 A and the battery holds 100 Ah: 16 % of it are gone in an hour.

    Passing example:
        50 A at idle.

    Source:
        Common practice, no source: reserve of 10 %, loss of 5 %.
    """
    for current in context.rollup.modes:
        yield _verdict(context, current)


def _verdict(context: Context, current: ModeCurrent) -> Verdict:
    place, mode = f"modes.{current.mode}", context.proposal.modes[current.mode]
    if mode.engine != "on":
        return not_applicable(place)
    calc, limits = context.electrics.calc, context.settings.limits
    drawn = current.supply_current_a.typ
    usable = calc(
        usable_alternator_a, alternator_current_a=mode.alternator_current_a, load_ratio=limits.alternator_load_ratio
    )
    over = exceeds(drawn, usable)
    facts = {"mode": current.mode}
    if over is None:
        return undecided(place, drawn, usable, "A", **facts)
    if not over:
        return passed(place, drawn, usable, "A")
    lost = calc(
        deficit_ratio,
        supply_current_a=drawn,
        usable_a=usable,
        time_s=limits.deficit_time_s if mode.duration_s is None else mode.duration_s,
        capacity_as=context.proposal.vehicle.battery_capacity_as,
    )
    lasting = text(limits.deficit_time_s if mode.duration_s is None else mode.duration_s, "time")
    facts["loss"] = f"{printed(lost, '1')} of the battery in {lasting}"
    say = warned if exceeds(lost, limits.deficit_ratio) is False else failed
    return say(place, drawn, usable, "A", **facts)


RULE = Rule(
    name="alternator.deficit",
    severity="error",
    failed="the vehicle draws {measured} in {mode}, the alternator gives {limit}: that takes {loss}",
    undecided="the vehicle draws {measured} in {mode}, the alternator gives {limit}: whether that suffices is unknown",
    remedy="Shed loads in {mode}, choose a larger alternator, or raise the idle speed.",
    ask=ask,
)
