"""Too few of the loads whose faults must be seen hang on drivers that see them."""

from collections.abc import Iterator

from bomtui.engine.diagnosis_coverage import Coverage, coverages
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.wording import counted, listed

VEHICLE = "vehicle"


def ask(context: Context) -> Iterator[Verdict]:
    """Too few of the loads whose faults must be seen are on drivers that see all of them.

    What it asks:
        Of the loads that name faults to be seen and whose function asks for an integrity level, and of those that ask
        for none: is the share whose drivers see all these faults at least a limit, by setting? A driver sees them as
        `diagnosis.seen` has it: one that measures its currents sees a short and an open load, and of anything else it
        is not known. It cannot tell where too many are not known. Whether the measurement is fine enough for a small
        load is a matter of `outage.unseen`.

    Why it matters:
        A safety argument counts on faults being seen; a few blind outputs are a list of exceptions, many are no
        diagnosis.

    Failing example:
        None is certain as long as no value of a part says that it misses a fault: ten lamps on switches with one common
        flag are undecided.

    Passing example:
        Nine of ten safety loads on switches that measure their currents.

    Source:
        90 % for safety and 60 % for comfort are common practice, no source.
    """
    asked = list(coverages(context.electrics))
    for own in asked:
        yield _verdict(context, own)
    if not asked:
        yield not_applicable(VEHICLE)


def _verdict(context: Context, own: Coverage) -> Verdict:
    limits = context.settings.limits
    limit = limits.diagnosis_safety_ratio if own.is_safety else limits.diagnosis_comfort_ratio
    below = exceeds(limit, own.ratio)
    facts = {
        "what": f"{'with' if own.is_safety else 'without'} an integrity level",
        "loads": listed(own.open),
        "count": counted(len(own.needed), "load"),
    }
    if below is None:
        return undecided(VEHICLE, own.ratio, limit, "1", **facts)
    return warned(VEHICLE, own.ratio, limit, "1", **facts) if below else passed(VEHICLE, own.ratio, limit, "1")


RULE = Rule(
    name="diagnosis.coverage",
    severity="warning",
    failed="of {count} {what} whose faults must be seen, {measured} are on drivers that see them, wanted is {limit}",
    undecided="of {count} {what} whose faults must be seen, {measured} are on drivers that see them, wanted is"
    " {limit}: of {loads} it is not known",
    remedy="Place {loads} on drivers that measure their currents, or ask the makers which faults their parts report.",
    ask=ask,
)
