"""What may be worth a look after a step, as one line below what was done."""

from bomtui.services.hints import hints_after
from bomtui.services.rollup import Computed


def hint_text(before: Computed | None, after: Computed | None) -> str:
    """Return the likeliest guess about what a step has touched; empty where there is none.

    Args:
        before: The variant before the step; None where nothing was shown yet.
        after: The variant after it; None where the proposal has none.
    """
    found = () if after is None else hints_after(before, after)
    if not found:
        return ""
    more = f", and {len(found) - 1} more" if len(found) > 1 else ""
    return f"Hint, not judged; see O: {found[0].words}{more}"
