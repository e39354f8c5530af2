"""Drivers whose channels together carry more than they may all at once."""

from collections.abc import Iterator

from bomtui.engine.chip_current import alike_currents, is_rated
from bomtui.engine.rail_load import usable_output_a
from bomtui.model.finding import Need, Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, helped_by, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """The loads of a driver together heat it more than its rating with all channels on allows.

    What it asks:
        For every driver with an on-resistance that carries loads: is the sum of the squares of its channels' currents,
        with all loads on that may be on together in a mode, PWM and longest on-times counted as for the junction, at
        most that of its continuous current on all its channels? Both are printed as the current of one channel of all
        alike. It cannot tell where a current, the on-resistance or the rating is not given.

    Why it matters:
        The rating with all channels on is the one that the data sheet was measured with. Loads that each keep below it
        do so together; a few loads above it may still suit a chip whose other channels are idle, and this says whether.

    Failing example:
        Four lamps of 3 A on a switch for 2.6 A with all four channels on.

    Passing example:
        One lamp of 3 A on it, and three channels that carry 1 A.

    Source:
        Joule's law; common practice, no source.
    """
    for module_id in sorted(context.electrics.heat_max, key=natural_key):
        for ref in sorted(context.electrics.heat_max[module_id], key=natural_key):
            place = str(Address(module_id, ref))
            key = context.variant.modules[module_id].devices[ref].part
            part = context.parts[key]
            if not is_rated(part):
                yield not_applicable(place)
                continue
            ratio = context.settings.limits.chip_load_ratio
            limit = context.electrics.calc(usable_output_a, output_current_a=part.current_all_a, load_ratio=ratio)
            worst = worst_of(alike_currents(context.electrics, module_id, ref, part), limit)
            if worst.over is None:
                yield undecided(place, worst.value, limit, "A", part=key)
            elif worst.over:
                verdict = warned(place, worst.value, limit, "A", part=key, mode=worst.mode)
                yield helped_by(verdict, Need(kinds=(part.kind,)))
            else:
                yield passed(place, worst.value, limit, "A")


RULE = Rule(
    name="current.chip",
    severity="warning",
    failed="the loads of {place} ({part}) together heat it in {mode} as {measured} on each of its channels would, and"
    " {limit} is what it carries with all channels on",
    undecided="the loads of {place} ({part}) together heat it as {measured} on each of its channels would, {limit} is"
    " what it carries with all channels on: whether that suffices is unknown",
    remedy="Spread the loads of {place} over more chips, or choose a part with a larger rating with all channels on.",
    ask=ask,
    scope="modules",
)
