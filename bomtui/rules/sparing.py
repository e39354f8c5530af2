"""What is free of pins, channels, ways or memory, held against what is wanted to be."""

from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import passed, undecided, warned


def sparing(place: str, share: Value, limit: float, **facts: str) -> Verdict:
    """Tell whether enough is free.

    Args:
        place: Where.
        share: Share that is free; None where nobody knows it.
        limit: Share that is wanted.
        facts: What the words of the rule name besides.
    """
    few = exceeds(limit, share)
    if few is None:
        return undecided(place, share, limit, "1", **facts)
    return warned(place, share, limit, "1", **facts) if few else passed(place, share, limit, "1")
