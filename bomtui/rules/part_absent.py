"""Parts that the customer keeps."""

from collections.abc import Iterator

from bomtui.engine.constraints import is_used
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.parts_used import places_of_parts

LIMIT = "used"
ABSENT = "not used"


def ask(context: Context) -> Iterator[Verdict]:
    """A part that the customer keeps is not in the variant.

    What it asks:
        For every part that the customer keeps: does the variant use it, as a device or as an item of which there is
        more than none? It is used by its catalog key, or by maker and maker part number under another key; where the
        part numbers are the same and a maker is unknown, it cannot tell.

    Why it matters:
        The customer has written software for this part or has it in stock. A variant without it is cheaper only
        because it leaves out work that the customer does not want to do again.

    Failing example:
        The customer keeps mcu-176, and the variant has mcu-144 in its place.

    Passing example:
        ZCEN.U1 is mcu-176, as the customer keeps it.

    Source:
        The customer's own list of parts; that its breach is an error is common practice, no source.
    """
    kept = [key for key in dict.fromkeys(context.proposal.constraints.must_keep) if key]
    used = places_of_parts(context)
    for key in kept:
        answer = is_used(key, used, context.parts)
        facts = {"part": key, "variant": context.variant_id}
        place = f"parts.{key}"
        if answer:
            yield passed(place, LIMIT, LIMIT)
        elif answer is None:
            yield undecided(place, None, LIMIT, **facts)
        else:
            yield failed(place, ABSENT, LIMIT, **facts)


RULE = Rule(
    name="part.absent",
    severity="error",
    failed="the customer keeps {part}, and {variant} does not use it",
    undecided=(
        "the customer keeps {part}; {variant} uses a part of the same part number, and the maker of one of the two is "
        "unknown"
    ),
    remedy="Use {part} where its work is done, or have the customer give it up.",
    ask=ask,
)
