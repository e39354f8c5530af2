"""Makers that the customer has not approved."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.parts_used import asked_of_parts


def ask(context: Context) -> Iterator[Verdict]:
    """A part comes from a maker that the customer has not approved.

    What it asks:
        For every part of the variant, where the customer names approved makers: is its maker one of them, whatever
        capital letters and spaces? It cannot tell where the part is not frozen or says no maker.

    Why it matters:
        Approving a maker takes the customer audits and months. A part of another maker cannot be bought for series,
        however good it is.

    Failing example:
        Approved is Vossumbry Silicon alone, and a switch is made by Haddeskar Power.

    Passing example:
        Every part is made by Vossumbry Silicon.

    Source:
        The customer's own list of makers; that its breach is an error is common practice, no source.
    """
    if any(name.strip() for name in context.proposal.constraints.approved_makers):
        yield from asked_of_parts(context, "maker")


RULE = Rule(
    name="maker.unapproved",
    severity="error",
    failed="{part} in {where} is made by {measured}, and the customer approves {limit}",
    undecided="who makes {part} in {where} is unknown, and the customer approves {limit}",
    remedy="Put a part of an approved maker in the place of {part}, or have the customer approve its maker.",
    ask=ask,
)
