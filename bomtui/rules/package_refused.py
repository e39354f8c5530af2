"""Packages that the customer does not accept."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.parts_used import asked_of_parts


def ask(context: Context) -> Iterator[Verdict]:
    """A part comes in a package that the customer does not accept.

    What it asks:
        For every part of the variant, where the customer refuses package families: is the family's text nowhere in the
        name of the part's package, whatever capital letters, without another letter behind it? BGA is found in BGA121
        and LBGA-100. It cannot tell where the part is not frozen or says no package; connectors, boards and housings
        come in none.

    Why it matters:
        Ball grids cannot be inspected by eye and ask for boards with more layers. A customer without X-ray inspection
        cannot build the module.

    Failing example:
        The customer refuses BGA, and a controller comes in BGA324.

    Passing example:
        The controller comes in QFP176.

    Source:
        The customer's own list of packages; that its breach is an error is common practice, no source.
    """
    if any(family.strip() for family in context.proposal.constraints.refused_packages):
        yield from asked_of_parts(context, "package")


RULE = Rule(
    name="package.refused",
    severity="error",
    failed="{part} in {where} comes in {measured}, and the customer accepts {limit}",
    undecided="the package of {part} in {where} is unknown, and the customer accepts {limit}",
    remedy="Put a part in another package in the place of {part}, or have the customer accept the package.",
    ask=ask,
)
