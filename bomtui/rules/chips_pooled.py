"""Chips of one part that have channels to spare in one zone."""

from collections.abc import Iterator

from bomtui.engine.pooling import pools
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import counted, listed


def ask(context: Context) -> Iterator[Verdict]:
    """Fewer chips of one part in one zone have channels enough.

    What it asks:
        For every driver part that is used several times in one zone: are the channels in use more than one chip less
        would have? It cannot tell where the part does not say how many channels it has. Channels are all that it looks
        at: currents, heat, separations and pins may speak against it.

    Why it matters:
        Chips that are half empty are found nowhere but here: each module looks right by itself.

    Failing example:
        Three chips of eight channels in the cab that carry four loads.

    Passing example:
        Two chips of four channels that carry seven.

    Source:
        Common practice, no source.
    """
    for pool in pools(context.variant, dict(context.results), dict(context.parts)):
        place = f"zones.{pool.zone}.{pool.part}"
        chips = counted(len(pool.devices), "chip")
        if pool.least is None:
            yield undecided(place, chips, None, part=pool.part, zone=pool.zone)
            continue
        least = counted(pool.least, "chip")
        if pool.least < len(pool.devices):
            where = listed(list(pool.devices))
            facts = {"part": pool.part, "zone": pool.zone, "used": str(pool.used), "where": where}
            yield failed(place, chips, least, **facts)
        else:
            yield passed(place, chips, least)


RULE = Rule(
    name="chips.pooled",
    severity="hint",
    failed="{used} channels of {part} are in use in {zone} on {measured} ({where}): {limit} would have channels enough",
    undecided="whether fewer chips of {part} would do in {zone} is unknown",
    remedy="See whether loads, or modules, can be put together; currents, heat and separations decide.",
    ask=ask,
)
