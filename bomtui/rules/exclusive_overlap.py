"""Exclusive groups of which the loads do not fit into one mode one after the other."""

from collections.abc import Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.load_groups import exclusive_share
from bomtui.model.finding import Verdict
from bomtui.model.quantity import text
from bomtui.rules.context import Context, Rule, failed, groups_of, passed, undecided
from bomtui.rules.wording import listed

WHOLE = 1
"""The whole time of a mode."""


def ask(context: Context) -> Iterator[Verdict]:
    """Loads that are never on together are on for more than the whole of a mode.

    What it asks:
        For every exclusive group of two loads or more, in every mode: do their time shares together stay within
        100 %? Loads of it that a together group joins take their time once. It cannot tell where a share is not given
        and the others leave room.

    Why it matters:
        Either two of the loads are on together after all, and the largest supply current counts too little, or a time
        share is wrong, and so is the mean current.

    Failing example:
        Wiper slow 70 % and wiper fast 50 % of a rainy night, both in the exclusive group WIPER.

    Passing example:
        Wiper slow 70 % and wiper fast 30 % of it.

    Source:
        Definition: what is never on together is on one after the other.
    """
    limit = _percent(WHOLE)
    for group, loads in groups_of(context, "exclusive_group").items():
        first = next(iter(loads))
        for mode in context.proposal.modes:
            share, unknown = exclusive_share(PLAIN, loads, mode)
            place, measured = f"{first}.time_share.{mode}", _percent(float(share))
            facts = {"group": group, "loads": listed(list(loads)), "mode": mode}
            if share > WHOLE:
                yield failed(place, measured, limit, **facts)
            elif unknown:
                yield undecided(place, f">= {measured}", limit, **facts, missing=listed(unknown))
            else:
                yield passed(place, measured, limit)


def _percent(ratio: float) -> str:
    return text(ratio, "ratio")


RULE = Rule(
    name="exclusive.overlap",
    severity="error",
    failed="{loads} of exclusive group {group} are on for {measured} of {mode}, and {limit} is all there is",
    undecided=(
        "{loads} of exclusive group {group} are on for {measured} of {mode}, and {limit} is all there is; the share of "
        "{missing} is unknown"
    ),
    remedy="Correct the time shares of {loads} in {mode}, or take those out of {group} that are on together.",
    ask=ask,
)
