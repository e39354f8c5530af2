"""Modules with hardly a controller pin to spare."""

from collections.abc import Iterator

from bomtui.engine.reserve import free
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable
from bomtui.rules.sparing import sparing


def ask(context: Context) -> Iterator[Verdict]:
    """A module has hardly a controller pin to spare.

    What it asks:
        For every module with controllers: is the share of their pins that the matching leaves free at least a setting?
        It cannot tell where pins, or the needs of a part, are not known.

    Why it matters:
        The customer's next wish needs a pin, and then another controller and another board.

    Failing example:
        147 of 152 pins in use.

    Passing example:
        122 of 152 pins in use.

    Source:
        Common practice, no source: 10 %.
    """
    limit = context.settings.limits.spare_pins_ratio
    for module_id, result in context.results.items():
        pins = result.pins
        share = None if pins.unknown else free(context.electrics.calc, pins.total, pins.used, "pins of the controllers")
        if pins.total or pins.unknown:
            yield sparing(module_id, share, limit, used=str(pins.used), total=str(pins.total))
        else:
            yield not_applicable(module_id)


RULE = Rule(
    name="reserve.pins",
    severity="warning",
    failed="{used} of {total} controller pins of {place} are in use: {measured} are free, {limit} is wanted",
    undecided="how many controller pins of {place} are free is unknown, {limit} is wanted",
    remedy="Choose a larger controller, or drivers on the serial bus.",
    ask=ask,
    scope="modules",
)
