"""Motors whose start or stall a channel cuts off."""

from collections.abc import Iterator

from bomtui.engine.inrush import MOTOR_KINDS, Start, starts
from bomtui.model.finding import Need, Verdict
from bomtui.model.quantity import display
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A channel limits or trips below the start and stall current of its motor.

    What it asks:
        For every motor, fan and stepper and every device whose channels limit its current: is the largest start and
        stall current of any mode, at the highest supply, at most the smallest current limit? It cannot tell where
        either is not given. Behind FETs of a power stage it is not asked. How long the stall lasts is named, not
        judged: no part says how long it limits before it trips.

    Why it matters:
        A motor that stands still draws the current of its winding alone. Limited, it has less torque than it needs to
        start against ice or a stiff hinge; tripped, it stops in the middle of its way.

    Failing example:
        A window motor with a stall current of 24 A on a half bridge that limits at 12 A.

    Passing example:
        The same motor on a half bridge that limits at 60 A.

    Source:
        Common practice, no source; stall currents are data of the load, limits of the part.
    """
    for own in starts(context.electrics):
        is_motor = context.loads[own.load_id].kind in MOTOR_KINDS
        yield _verdict(context, own) if is_motor and own.peak_a else not_applicable(own.load_id)


def _verdict(context: Context, own: Start) -> Verdict:
    device, time_s = context.device(own.device), context.loads[own.load_id].peak_time_s
    limit_a = None if own.part is None else own.part.current_limit_a.lower
    worst = worst_of(own.peak_a, limit_a)
    facts = {"device": str(own.device), "part": "no part" if device is None else device.part}
    if worst.over is None:
        return undecided(own.load_id, worst.value, limit_a, "A", **facts)
    if not worst.over:
        return passed(own.load_id, worst.value, limit_a, "A")
    lasting = "" if time_s is None else f" for {display(time_s, 'time', unicode=False)}"
    verdict = failed(own.load_id, worst.value, limit_a, "A", **facts, mode=worst.mode, lasting=lasting)
    if own.part is None or not isinstance(worst.value, float):
        return verdict
    return helped_by(verdict, Need(kinds=(own.part.kind,), least={"current_limit_a": worst.value}))


RULE = Rule(
    name="stall.limit",
    severity="error",
    failed="{place} draws {measured}{lasting} when it starts or stalls in {mode}, {device} ({part}) limits at {limit}",
    undecided="{place} draws {measured} when it starts or stalls, {device} ({part}) limits at {limit}: whether it"
    " starts is unknown",
    remedy="Place {place} on a channel with a higher current limit, or let software cut its start and stall short.",
    ask=ask,
    scope="modules",
)
