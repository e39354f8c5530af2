"""Parts that stand in the list twice."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.part import Part
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.parts_used import places_of_parts
from bomtui.rules.wording import listed

ONE = "one key for one part"
ITSELF = "itself as its alternate"


def ask(context: Context) -> Iterator[Verdict]:
    """One part stands in the list under two keys, or names itself as its alternate.

    What it asks:
        For every part that is used: is it the only one with its maker and part number, blanks and letter case left
        aside, and does it not name itself as its alternate? Parts without a maker or a part number cannot be told
        apart.

    Why it matters:
        The same chip bought as two lines is ordered twice, at the price of two small orders.

    Failing example:
        mcu-100 and MCU100 with the part number K7-100 of one maker.

    Passing example:
        Two keys with two part numbers.

    Source:
        Common practice, no source.
    """
    used = places_of_parts(context)
    same: dict[tuple[str, str], list[str]] = {}
    for key in used:
        part = context.parts.get(key)
        if part is not None and part.maker and part.mpn:
            same.setdefault(_name(part), []).append(key)
    for key in used:
        part, place = context.parts.get(key), f"parts.{key}"
        if part is not None and key in part.alternates:
            yield failed(place, ITSELF, ONE, part=key, what="names")
        elif part is None or not part.maker or not part.mpn:
            yield undecided(place, None, ONE, part=key)
        elif len(same[_name(part)]) > 1:
            others = listed([other for other in same[_name(part)] if other != key])
            yield failed(place, others, ONE, part=key, what="is")
        else:
            yield passed(place, ONE, ONE)


def _name(part: Part) -> tuple[str, str]:
    """Maker and part number without blanks and letter case."""
    return "".join(part.maker.split()).casefold(), "".join(part.mpn.split()).casefold()


RULE = Rule(
    name="part.twice",
    severity="error",
    failed="{part} {what} {measured}; wanted is {limit}",
    undecided="whether {part} is a part that stands in the list twice is unknown: it has no maker or no part number",
    remedy="Use one key for the part everywhere.",
    ask=ask,
)
