"""Sensors on a board-level serial bus that lie outside the module."""

from collections.abc import Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.plain_pins import is_in
from bomtui.engine.wiring import run_m
from bomtui.model.finding import Verdict
from bomtui.model.quantity import display
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A board-level serial bus leaves its module.

    What it asks:
        For every load whose drive code hangs on the controller's serial bus (settings): does it lie in the zone of its
        module? It cannot tell where the zone of the load or of the module is not given.

    Why it matters:
        Such a bus has edges of nanoseconds and no driver for a cable: metres of harness couple noise into it, radiate
        it, and lose bits. What works on the bench fails in the immunity test.

    Failing example:
        A tilt sensor on SPI in the undercarriage, 2.2 m of harness from its module in the cab.

    Passing example:
        The same sensor on the board of a small module of its own, that reports over LIN.

    Source:
        Common practice, no source.
    """
    for load_id in context.addresses:
        load, module_id = context.loads[load_id], context.serving.module_of[load_id]
        home = context.variant.modules[module_id].zone
        if not context.settings.habit(load.drive).on_serial_bus:
            yield not_applicable(load_id)
        elif is_in(load, home):
            yield passed(load_id, load.zone, home)
        elif not load.zone or not home:
            yield undecided(load_id, load.zone or None, home or None, drive=load.drive, module=module_id)
        else:
            run = run_m(PLAIN, context.proposal.zones, home, load.zone)
            away = "by a run that is not given" if run is None else f"{display(float(run), 'length')} away"
            yield failed(load_id, load.zone, home, drive=load.drive, module=module_id, away=away)


RULE = Rule(
    name="bus.outside",
    severity="error",
    failed="{place} hangs on the board-level bus ({drive}) of {module} in {limit} and lies in {measured}, {away}",
    undecided="{place} hangs on the board-level bus ({drive}) of {module} in {limit} and lies in {measured}: whether"
    " the bus leaves the module is unknown",
    remedy="Give {place} a small module of its own in its zone that reports over LIN or CAN, or a sensor with an output"
    " made for a cable.",
    ask=ask,
    scope="modules",
)
