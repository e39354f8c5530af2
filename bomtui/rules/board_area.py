"""Boards that their housing does not hold."""

from collections.abc import Iterator

from bomtui.engine.board_area import area_held_m2, area_needed_m2, has_item
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The boards of a module are larger than its housing holds.

    What it asks:
        For every module with a board and a housing: is the area of its boards at most what its housings hold? It cannot
        tell where a board is not sold by its area, where a housing does not say what it holds, or where nothing is
        known of an item.

    Why it matters:
        The larger housing costs, and often does not fit where the small one did.

    Failing example:
        16 dm2 of board in a housing for 14 dm2.

    Passing example:
        14 dm2 of board in it.

    Source:
        Definition; what boards and housings have in area is data of the parts.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        if not (has_item(module, context.parts, "board") and has_item(module, context.parts, "housing")):
            yield not_applicable(module_id)
            continue
        needed = area_needed_m2(context.electrics.calc, module, context.parts)
        held = area_held_m2(context.electrics.calc, module, context.parts)
        too_large = exceeds(needed, held)
        if too_large is None:
            yield undecided(module_id, needed, held, "m2")
        elif too_large:
            yield failed(module_id, needed, held, "m2")
        else:
            yield passed(module_id, needed, held, "m2")


RULE = Rule(
    name="board.area",
    severity="error",
    failed="{place} has {measured} of board, and its housing holds {limit}",
    undecided="{place} has {measured} of board, and its housing holds {limit}: whether it fits is unknown",
    remedy="Choose a larger housing for {place}, a denser board, or fewer parts.",
    ask=ask,
    scope="modules",
)
