"""Controllers of safety functions that nothing outside them watches."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.part import SUPPLY_KINDS
from bomtui.model.safety import LEVELS
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.wording import listed

CONTROLLER = "controller"
WATCHED_FROM = {"ASIL": "B", "PL": "c", "SIL": "1"}
"""Level of each scheme from which the program of a controller is watched from outside (common practice, no source)."""


def ask(context: Context) -> Iterator[Verdict]:
    """The controller of a safety function has no watchdog outside it.

    What it asks:
        For every module with a controller that serves a load of ASIL B, PL c, SIL 1 or above: does one of its chips
        hold a watchdog? It cannot tell where supply chips do not say whether they do. A watchdog inside the controller
        shares its clock and its supply with what it watches and is not counted. Modules without such a load are not
        asked.

    Why it matters:
        A program that hangs keeps its last outputs, and the safety argument counts on somebody who takes them away.

    Failing example:
        A direction indicator of ASIL B behind a controller with a plain linear supply.

    Passing example:
        The same controller with a system chip whose watchdog resets it.

    Source:
        ISO 26262-5 annex D: program sequence monitoring with a separate time base (value from memory); the levels are
        common practice, no source.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        devices = context.variant.modules[module_id].devices
        parts = [context.parts.get(device.part) for device in devices.values()]
        loads = [own.load_id for own in context.serving.per_module[module_id] if _is_watched(context, own.load_id)]
        if not loads or not any(part is None or part.kind == CONTROLLER for part in parts):
            yield not_applicable(module_id)
            continue
        says = [part.watchdog for part in parts if part is not None and part.kind != CONTROLLER]
        is_open = None in parts or any(part and part.kind in SUPPLY_KINDS and part.watchdog is None for part in parts)
        if True in says:
            yield passed(module_id, "a watchdog", "a watchdog")
        elif is_open:
            yield undecided(module_id, None, "a watchdog", loads=listed(loads))
        else:
            yield warned(module_id, "no watchdog", "a watchdog", loads=listed(loads))


def _is_watched(context: Context, load_id: str) -> bool:
    """Tell whether a load asks for such a level; one that its scheme does not have is a matter of other rules."""
    load = context.loads[load_id]
    levels = LEVELS.get(load.safety_scheme, ())
    return load.safety in levels and levels.index(load.safety) >= levels.index(WATCHED_FROM[load.safety_scheme])


RULE = Rule(
    name="safety.watchdog",
    severity="warning",
    failed="{place} serves {loads} and has {measured} outside its controller",
    undecided="{place} serves {loads}: whether it has {limit} outside its controller is unknown",
    remedy="Choose a system chip with a watchdog for {place}.",
    ask=ask,
    scope="modules",
)
