"""Stand-ins that share a device with the load that they stand in for."""

from collections.abc import Iterator

from bomtui.engine.common_cause import ServedBy, is_apart, served_by
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import listed

LIMIT = "no common device"


def ask(context: Context) -> Iterator[Verdict]:
    """A load and its stand-in hang on one device.

    What it asks:
        For every pair of a load and its stand-in: have the devices that serve the one, its power stage and the chips
        counted in it among them, nothing in common with those of the other? Where a load of the pair is placed on a
        module only, and the other one is in that module too, nothing says by which device it is served.

    Why it matters:
        A stand-in that fails with the load it stands in for is none. The rule looks at devices only: common fuses,
        feeds, grounds and controllers are other causes of a common failure. And a pair that passes is electrically
        possible; type approval is not checked: whether a lamp may do another lamp's work is a matter of lighting law.

    Failing example:
        Tail lamp and the dimmed stop lamp beside it on two channels of ZREA.U6.

    Passing example:
        Tail lamp on ZREA.U6, stop lamp on ZREA.U5.

    Source:
        Common practice, no source; common cause failures as ISO 26262-9 clause 7 asks for (value from memory).
    """
    for pair_id in sorted(context.proposal.pairs, key=natural_key):
        pair = context.proposal.pairs[pair_id]
        loads = (pair.primary, pair.stand_in)
        facts = {"primary": pair.primary, "stand_in": pair.stand_in}
        one, other = (_served_by(context, load_id) for load_id in loads)
        apart = is_apart(one, other)
        absent = [load_id for load_id in loads if load_id not in context.addresses]
        if apart is False:
            common = sorted(one.devices & other.devices, key=natural_key)
            yield failed(pair_id, listed(common), LIMIT, **facts)
        elif absent:
            yield undecided(pair_id, None, LIMIT, **facts, why=f"no module serves {listed(absent)}")
        elif apart is None:
            unnamed = [load_id for load_id, own in zip(loads, (one, other), strict=True) if not own.devices]
            why = f"no device is named that serves {listed(unnamed)} in {context.serving.module_of[unnamed[0]]}"
            yield undecided(pair_id, None, LIMIT, **facts, why=why)
        else:
            yield passed(pair_id, LIMIT, LIMIT)


def _served_by(context: Context, load_id: str) -> ServedBy:
    if load_id not in context.addresses:
        return served_by(context.variant, load_id, (), ())
    placement = context.variant.placements[load_id]
    return served_by(context.variant, load_id, context.addresses[load_id], placement.stage)


RULE = Rule(
    name="standin.device",
    severity="error",
    failed="{stand_in} stands in for {primary}, and both hang on {measured}",
    undecided="{stand_in} stands in for {primary}; whether they share a device is unknown: {why}",
    remedy=(
        "Place {stand_in} or {primary} on a device that does not serve the other; that makes the pair electrically "
        "possible, type approval is not checked."
    ),
    ask=ask,
)
