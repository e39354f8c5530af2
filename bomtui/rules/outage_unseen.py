"""Loads whose outage the current sense of their channel does not see."""

from collections.abc import Iterator

from bomtui.engine.outage import Watched, watched
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.context import Context, Rule, helped_by, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """The current sense of a channel does not see that a load is gone.

    What it asks:
        For every load whose open circuit must be seen, on a channel that measures its current: is its lowest current
        over the supply ranges of all modes several times, by setting, the error of the sense? Of several loads on one
        channel: is the lowest reading with all of them above the highest reading without the load, the spread of their
        currents and the error of the sense counted? It cannot tell where a current, the error or the range of the sense
        is not given. Channels that measure no current are a matter of another rule.

    Why it matters:
        A failed direction indicator must be told to the driver. Three small lamps on one channel differ more among
        themselves than one of them draws.

    Failing example:
        Three lamps of 0.2 to 0.27 A on one channel: 0.55 A with all of them, 0.58 A with two of the largest.

    Passing example:
        One lamp of 0.9 A on a channel of 2.5 A with an error of 8 %.

    Source:
        Common practice, no source: three times the error; 30 % of error at 5 % of the range.
    """
    seen: set[str] = set()
    for own in watched(context.electrics):
        if own.part is None or own.part.current_sense is not False:
            seen.add(own.load_id)
            yield _verdict(context, own)
    yield from (not_applicable(load_id) for load_id in context.addresses if load_id not in seen)


def _verdict(context: Context, own: Watched) -> Verdict:
    device = context.device(own.device)
    facts = {"device": str(own.device), "part": "no part" if device is None else device.part}
    lost = exceeds(own.out_a, own.lit_a)
    if lost is None or own.part is None or own.part.current_sense is None:
        return undecided(own.load_id, own.lit_a, own.out_a, "A", **facts)
    if not lost:
        return passed(own.load_id, own.lit_a, own.out_a, "A")
    verdict = warned(own.load_id, own.lit_a, own.out_a, "A", **facts)
    return helped_by(verdict, Need(kinds=(own.part.kind,), has=("current_sense",)))


RULE = Rule(
    name="outage.unseen",
    severity="warning",
    failed="{device} ({part}) reads at least {measured} with {place} on, and may read {limit} without it",
    undecided="{device} ({part}) reads at least {measured} with {place} on, and may read {limit} without it: whether an"
    " outage is seen is unknown",
    remedy="Place {place} on a channel of its own, a smaller one, or one with a calibrated current sense.",
    ask=ask,
    scope="modules",
)
