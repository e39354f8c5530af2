"""Parts that the customer does not accept."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.parts_used import asked_of_parts


def ask(context: Context) -> Iterator[Verdict]:
    """A part is used that the customer has forbidden.

    What it asks:
        For every part of the variant, where the customer forbids any: is it none of them? It is one of them by its
        catalog key, or by maker and maker part number under another key; where the part numbers are the same and a
        maker is unknown, it cannot tell.

    Why it matters:
        The customer has said no to this very part, after a fault in the field or with a supplier he is leaving. A
        proposal with it comes back unread.

    Failing example:
        The customer forbids hs12-4x75, and MBDY.U27 is one.

    Passing example:
        MBDY.U27 is hs12-4x50, which nobody forbids.

    Source:
        The customer's own list of parts; that its breach is an error is common practice, no source.
    """
    if any(context.proposal.constraints.forbidden):
        yield from asked_of_parts(context, "forbidden")


RULE = Rule(
    name="part.forbidden",
    severity="error",
    failed="{part} is used in {where}, and the customer forbids it ({limit})",
    undecided=(
        "{part} is used in {where}; it has the part number of a forbidden part ({limit}), and the maker of one of the "
        "two is unknown"
    ),
    remedy="Put another part in the place of {part}, or have the customer lift the ban on it.",
    ask=ask,
)
