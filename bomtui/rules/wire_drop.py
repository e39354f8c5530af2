"""Wires of loads that take too much of the supply."""

from collections.abc import Iterator

from bomtui.engine.circuits import LoadCircuit, load_circuits
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The wire of a load takes more of the supply than it may.

    What it asks:
        For every load of whose wire the area is given: is the drop of its largest current, there and back, with the
        wires as hot as their insulation stands, at most a share of the nominal voltage (settings), that of lamps or
        that of anything else? What the feed of its module takes comes on top and is held by itself. It cannot tell
        where current or length is not known. Loads without a given area are the matter of `wire.circuit`.

    Why it matters:
        A lamp at 90 % of its voltage gives two thirds of its light, and a solenoid that gets too little does not pull.

    Failing example:
        10 A through 20 m of 1.5 mm2 in a 12 V net: 3.5 V with the wire at 100 degC.

    Passing example:
        The same through 16 mm2, 0.32 V.

    Source:
        3 % of 12 V: an engineering handbook page with a wire gauge chart, seen 2026; 5 % common practice, no source.
        Resistance by IEC 60228 or ASTM B258.
    """
    for own in load_circuits(context.electrics, context.results):
        yield _verdict(own) if own.wired else not_applicable(own.load_id)


def _verdict(own: LoadCircuit) -> Verdict:
    over = exceeds(own.drop_v, own.allowed_v)
    if over is None:
        return undecided(own.load_id, own.drop_v, own.allowed_v, "V")
    if over:
        return failed(own.load_id, own.drop_v, own.allowed_v, "V")
    return passed(own.load_id, own.drop_v, own.allowed_v, "V")


RULE = Rule(
    name="wire.drop",
    severity="warning",
    failed="the wire of {place} takes {measured}, {limit} is allowed",
    undecided="the wire of {place} takes {measured}, {limit} is allowed: whether it takes too much is unknown",
    remedy="Give {place} a thicker or shorter wire.",
    ask=ask,
    scope="modules",
)
