"""Together groups of which the loads are on for different times."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.quantity import text
from bomtui.rules.context import Context, Rule, failed, groups_of, passed, undecided
from bomtui.rules.wording import listed

LIMIT = "equal shares"


def ask(context: Context) -> Iterator[Verdict]:
    """Loads that are always on together have different time shares.

    What it asks:
        For every together group of two loads or more, in every mode: have all its loads the same time share? It cannot
        tell where the shares that are given are equal and another one is not.

    Why it matters:
        Loads that are always on together are on for the same time. Where the shares differ, one of them is wrong, and
        so is the mean current; or the loads start apart, and the inrush counts too much.

    Failing example:
        Low beam left 60 % and low beam right 50 % of a night, both in the together group LOW.

    Passing example:
        Both 60 % of it.

    Source:
        Definition: what is always on together is on for the same time.
    """
    for group, loads in groups_of(context, "together_group").items():
        for mode in context.proposal.modes:
            place = f"{next(iter(loads))}.time_share.{mode}"
            shares = [load.time_share_ratio.get(mode) for load in loads.values()]
            known = sorted({share for share in shares if share is not None})
            measured = listed([text(share, "ratio") for share in known]) if known else None
            facts = {"group": group, "loads": listed(list(loads)), "mode": mode}
            if len(known) > 1:
                yield failed(place, measured, LIMIT, **facts)
            elif None in shares:
                missing = [load_id for load_id, share in zip(loads, shares, strict=True) if share is None]
                yield undecided(place, measured, LIMIT, **facts, missing=listed(missing))
            else:
                yield passed(place, measured, LIMIT)


RULE = Rule(
    name="together.apart",
    severity="warning",
    failed="{loads} of together group {group} are on for {measured} of {mode}, and what is on together has {limit}",
    undecided="whether {loads} of together group {group} have {limit} of {mode} is unknown: {missing} gives none",
    remedy="Give {loads} the same time share in {mode}, or take those out of {group} that are not always on with it.",
    ask=ask,
)
