"""Drivers and controllers that are larger than their work."""

from collections.abc import Iterator

from bomtui.engine.reserve import free
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address
from bomtui.model.part import DRIVER_KINDS
from bomtui.model.rollup import ModuleResult
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A driver or a controller is larger than its work.

    What it asks:
        For every driver, and for the controllers of every module together: is the share of channels, or pins, that are
        free at most a setting? It cannot tell where channels or pins are not known.

    Why it matters:
        Free channels and pins are paid for. A smaller part may do, or the work of two.

    Failing example:
        A chip of eight channels that drives one valve.

    Passing example:
        A chip of four channels that drives two.

    Source:
        Common practice, no source: 60 % of channels, 50 % of pins.
    """
    for module_id, result in context.results.items():
        yield from _drivers(context, module_id, result)
        if result.pins.total or result.pins.unknown:
            pins, limit = result.pins, context.settings.limits.idle_pins_ratio
            total = None if pins.unknown else pins.total
            yield _verdict(context, module_id, total, pins.used, limit, "controller pins")


def _drivers(context: Context, module_id: str, result: ModuleResult) -> Iterator[Verdict]:
    limit = context.settings.limits.idle_channels_ratio
    for device in result.devices:
        part = context.parts.get(device.part)
        if part is not None and part.kind in DRIVER_KINDS:
            place = str(Address(module_id, device.ref))
            yield _verdict(context, place, part.channels, device.channels_used, limit, "channels")


def _verdict(context: Context, place: str, total: int | None, used: int, limit: float, what: str) -> Verdict:
    share = free(context.electrics.calc, total, used, what)
    many = exceeds(share, limit)
    if many is None:
        return undecided(place, share, limit, "1", what=what)
    if many:
        return failed(place, share, limit, "1", what=what, used=str(used), total=str(total))
    return passed(place, share, limit, "1")


RULE = Rule(
    name="reserve.idle",
    severity="hint",
    failed="{used} of {total} {what} of {place} are in use: {measured} are free, a smaller part may do",
    undecided="how many {what} of {place} are free is unknown",
    remedy="Choose a smaller part for {place}, or let it take over the work of another one.",
    ask=ask,
    scope="modules",
)
