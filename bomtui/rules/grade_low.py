"""Parts of an ambient grade that is too low for the customer."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.parts_used import asked_of_parts


def ask(context: Context) -> Iterator[Verdict]:
    """A part's ambient grade is below the lowest that the customer accepts.

    What it asks:
        For every part of the variant, where the customer asks for a grade: is it at least that? G0 is the highest, G3
        the lowest. It cannot tell where the part is not frozen or says no grade. Whether the place of the part needs
        that grade is another question.

    Why it matters:
        The grade is what the part was qualified for. A part of a lower one has not been tested where the customer
        wants to use it, and a test of his own costs more than the part.

    Failing example:
        The customer asks for G1, and a controller is qualified for G2.

    Passing example:
        Every part is qualified for G1 or G0.

    Source:
        Grades as in AEC-Q100 (value from memory); the lowest accepted is the customer's own.
    """
    if context.proposal.constraints.minimum_grade is not None:
        yield from asked_of_parts(context, "grade")


RULE = Rule(
    name="grade.low",
    severity="error",
    failed="{part} in {where} is of grade {measured}, and the customer asks for {limit} or better",
    undecided="the grade of {part} in {where} is unknown, and the customer asks for {limit} or better",
    remedy="Put a part of grade {limit} or better in the place of {part}, or have the customer accept its grade.",
    ask=ask,
)
