"""Channels that carry nearly all of the current that they may."""

from collections.abc import Iterator

from bomtui.engine.rail_load import usable_output_a
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.context import Context, Rule, helped_by, not_applicable, passed, undecided, warned
from bomtui.rules.fitting import asked

REGULATING_KINDS = frozenset(("led_driver",))
"""Kinds that give the current that they are set to, so that it needs no reserve."""


def ask(context: Context) -> Iterator[Verdict]:
    """A channel has too little reserve in current.

    What it asks:
        For every load and every device on whose channels it is placed: is its largest on-current, over all modes and at
        the worst end of each mode's supply, at most a share, by setting, of the continuous current of a channel with
        all channels on? What is above the rating itself is a matter of another rule. It cannot tell where a current or
        the rating is not given. Amplifiers, LED drivers, which regulate their current, and loads behind FETs of a power
        stage are not asked.

    Why it matters:
        Load lists are wrong by ten per cent, and the next model year has a larger lamp.

    Failing example:
        A seat heater of 2 A on a channel for 2.2 A.

    Passing example:
        The same heater on a channel for 2.8 A.

    Source:
        Common practice, no source: 80 %.
    """
    seen: set[str] = set()
    for load_id, address, current, found in asked(context, "current"):
        seen.add(load_id)
        part = context.part(address)
        rated = None if part is None else part.current_all_a
        ratio = context.settings.limits.channel_load_ratio
        limit = context.electrics.calc(usable_output_a, output_current_a=rated, load_ratio=ratio)
        device = context.device(address)
        facts = {
            "device": str(address),
            "part": "no part" if device is None else device.part,
            "mode": f" in {current.mode}" if current.mode else "",
        }
        over = exceeds(current.current_a, limit)
        if found.fits is False or (part is not None and part.kind in REGULATING_KINDS):
            yield not_applicable(load_id)
        elif over is None:
            yield undecided(load_id, current.current_a, limit, "A", **facts)
        elif over:
            verdict = warned(load_id, current.current_a, limit, "A", **facts)
            yield helped_by(verdict, Need(kinds=(part.kind,) if part is not None else ()))
        else:
            yield passed(load_id, current.current_a, limit, "A")
    yield from (not_applicable(load_id) for load_id in context.addresses if load_id not in seen)


RULE = Rule(
    name="current.margin",
    severity="warning",
    failed="{place} draws {measured}{mode}, and {limit} is what leaves a reserve on a channel of {device} ({part})",
    undecided="{place} draws {measured}, {limit} is what leaves a reserve on a channel of {device} ({part}): whether it"
    " does is unknown",
    remedy="Place {place} on a channel for more current, or choose a part with such channels for {device}.",
    ask=ask,
    scope="modules",
)
