"""Controllers with hardly memory or computing time to spare."""

from collections.abc import Iterator

from bomtui.engine.reserve import free_core_ratio, free_memory_ratio
from bomtui.model.bound import Value
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import Part
from bomtui.model.variant import Device
from bomtui.rules.context import Context, Rule
from bomtui.rules.sparing import sparing


def ask(context: Context) -> Iterator[Verdict]:
    """A controller has hardly memory or computing time to spare.

    What it asks:
        For every controller: are the shares of program memory, working memory and computing time that its software
        leaves free at least their settings? It cannot tell where a memory of the part, or what its software takes of
        it, is not given.

    Why it matters:
        Software grows until the last day. A controller that is full at the first proposal is too small at the last.

    Failing example:
        1.6 MB of software in 2 MB of flash.

    Passing example:
        1.3 MB of software in it.

    Source:
        Common practice, no source: 30 %, 25 %, 30 %.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        devices = context.variant.modules[module_id].devices
        for ref in sorted(devices, key=natural_key):
            part = context.parts.get(devices[ref].part)
            if part is not None and part.kind == "controller":
                for what, share, limit in _shares(context, part, devices[ref]):
                    yield sparing(str(Address(module_id, ref)), share, limit, what=what)


def _shares(context: Context, part: Part, device: Device) -> Iterator[tuple[str, Value, float]]:
    calc, limits = context.electrics.calc, context.settings.limits
    flash = calc(free_memory_ratio, there_byte=part.flash_byte, need_byte=device.flash_need_byte)
    ram = calc(free_memory_ratio, there_byte=part.ram_byte, need_byte=device.ram_need_byte)
    core = calc(free_core_ratio, core_load_ratio=device.core_load_ratio)
    # Without a program memory of its own a controller runs from a chip beside it, of which nobody says what is free.
    if part.flash_byte != 0:
        yield "program memory", flash, limits.spare_flash_ratio
    yield "working memory", ram, limits.spare_ram_ratio
    yield "computing time", core, limits.spare_core_ratio


RULE = Rule(
    name="reserve.memory",
    severity="warning",
    failed="{measured} of the {what} of {place} is free, {limit} is wanted",
    undecided="how much of the {what} of {place} is free is unknown, {limit} is wanted",
    remedy="Choose a controller with more of it.",
    ask=ask,
    scope="modules",
)
