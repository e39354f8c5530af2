"""Loads on one device that belong on separate ones."""

from collections.abc import Iterator

import msgspec

from bomtui.engine.separation import separations, together
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import listed

LIMIT = "on separate devices"


def ask(context: Context) -> Iterator[Verdict]:
    """Loads that belong on separate devices hang on one.

    What it asks:
        For every load whose role, or that of its subsystem, is kept apart from other roles, and for every load that
        itself names loads from which it is separate: has the device that serves it, its power stage or a chip counted
        in it none of the others? Left and right low beam, left and right stop lamp, front and rear beacon, both hopper
        valves, both tracks of a pedal, what starts, feeds and stops the engine from comfort loads, horn from siren, the
        last one a hint. What a load names adds to these and takes none of them away, nor do stand-in pairs. Where
        a load is placed on a module only, or nowhere, it cannot tell. Two tracks in one row of the load list are one
        load, and are not told apart.

    Why it matters:
        One chip that overheats or fails takes both with it: the vehicle stands dark on both sides, or a compressor
        clutch stalls the engine.

    Failing example:
        Left and right stop lamp on two channels of one switch.

    Passing example:
        The left one on ZREA.U5, the right one on ZREA.U6.

    Source:
        Common practice of the trade, no source.
    """
    for separation in separations(context.proposal):
        found = together(context.variant, separation)
        for common in found.on:
            measured = f"{listed(common.loads)} with {listed(common.others)}"
            verdict = failed(common.device, measured, LIMIT, why=separation.why, loads=measured)
            yield msgspec.structs.replace(verdict, severity=separation.severity)
        for load_id, others in found.open.items():
            why = f"nothing says which device serves {load_id} or {listed(others)}"
            yield undecided(load_id, None, LIMIT, why=why, loads=listed(others))
        joined = {load_id for common in found.on for load_id in common.loads}
        yield from (
            passed(load_id, LIMIT, LIMIT) for load_id in separation.loads if load_id not in joined | found.open.keys()
        )


RULE = Rule(
    name="separation.device",
    severity="warning",
    failed="{place} serves {loads}, which belong on separate devices: {why}",
    undecided="{place} belongs on a device without {loads}: {why}",
    remedy="Place {loads} on separate devices.",
    ask=ask,
)
