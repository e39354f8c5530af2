"""Modules that draw too much while the vehicle is parked."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A module draws too much current while the vehicle is parked.

    What it asks:
        For every module: is the standby current of its parts and loads, at the largest values, at most a setting? It
        cannot tell where a standby current is not given. Leakage of suppressors and FETs is not in it.

    Why it matters:
        A tenth of a milliampere a module is what lets a vehicle with ten of them stand for two months.

    Failing example:
        A zone module that stays awake with 0.9 mA.

    Passing example:
        A module of 45 uA.

    Source:
        0.1 mA for a component with the ignition off, DC-10615 (2003-05), seen second-hand; common practice else.
    """
    limit = context.settings.limits.standby_module_a
    for module_id in sorted(context.results, key=natural_key):
        measured = context.results[module_id].standby_a.max
        over = exceeds(measured, limit)
        if over is None:
            yield undecided(module_id, measured, limit, "A")
        elif over:
            yield warned(module_id, measured, limit, "A")
        else:
            yield passed(module_id, measured, limit, "A")


RULE = Rule(
    name="standby.module",
    severity="warning",
    failed="{place} draws {measured} while the vehicle is parked, {limit} is allowed",
    undecided="{place} draws {measured} while the vehicle is parked, {limit} is allowed: whether it holds that is"
    " unknown",
    remedy="Feed what need not be awake in {place} from terminal 15, or choose parts with a lower standby current.",
    ask=ask,
    scope="modules",
)
