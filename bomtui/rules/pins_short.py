"""Modules whose controllers lack pins."""

from collections.abc import Iterator, Mapping

from bomtui.engine.pins import ControllerPins, pins_by_controller
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address
from bomtui.model.load import Load
from bomtui.model.rollup import PinUse
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import counted, listed

PIN_NAMES: Mapping[str, str] = {
    "gpio": "general-purpose",
    "pwm": "PWM-capable",
    "adc": "analog-capable",
    "capture": "capture-capable",
    "can": "CAN-capable",
    "lin": "LIN-capable",
    "spi": "SPI-capable",
    "eth": "Ethernet-capable",
}


def ask(context: Context) -> Iterator[Verdict]:
    """A controller has fewer pins than its module needs.

    What it asks:
        For every module: does every signal find a pin that can carry it, each pin used once? Where not, which
        functions ask together for more pins than can do any of them. It cannot tell where pins, or the needs of a
        part, are unknown and what is known fits.

    Why it matters:
        Spare pins do not help where the missing signal is PWM and no spare pin can give it; the module then needs
        another controller, and the box another board.

    Failing example:
        13 PWM loads on a controller with 12 PWM-capable pins and 20 other pins free.

    Passing example:
        The same module with 12 PWM loads, or with a driver that is told its PWM over the serial bus.

    Source:
        Maximum flow from needs to pins; the functions named violate Hall's condition (P. Hall, On representatives of
        subsets, 1935).
    """
    for module_id, result in context.results.items():
        pins = result.pins
        if pins.short:
            yield from _short(context, module_id, pins)
        elif pins.unknown:
            yield undecided(module_id, pins.used, pins.total, unknown=listed(pins.unknown))
        else:
            yield passed(module_id, pins.used, pins.total)


def _short(context: Context, module_id: str, pins: PinUse) -> Iterator[Verdict]:
    for entry in _controllers(context, module_id):
        for functions, missing in entry.short.items():
            names = functions.split("+")
            needed = sum(entry.needs[name] for name in names)
            yield failed(
                str(Address(module_id, entry.ref)),
                needed,
                needed - missing,
                short=_named(names, missing),
                together=" together" if len(names) > 1 else "",
                beside=f"; unknown beside that: {listed(pins.unknown)}" if pins.unknown else "",
            )


def _named(functions: list[str], missing: int) -> str:
    return counted(missing, f"{' or '.join(PIN_NAMES[name] for name in functions)} pin")


def _controllers(context: Context, module_id: str) -> tuple[ControllerPins, ...]:
    """Match the module again, controller by controller: the rollup has them added up."""
    device_loads: dict[str, list[Load]] = {}
    served = context.serving.per_module[module_id]
    for own in served:
        for ref in dict.fromkeys(address.device for address in own.channels):
            device_loads.setdefault(ref, []).append(context.loads[own.load_id])
    module = context.variant.modules[module_id]
    loads = [context.loads[own.load_id] for own in served]
    return pins_by_controller(module, context.parts, device_loads, loads, context.settings)[0]


RULE = Rule(
    name="pins.short",
    severity="error",
    failed="short {short} (needs {measured}{together}, has {limit}){beside}",
    undecided="{measured} of {limit} pins are used by what is known; pins or needs are unknown of {unknown}",
    remedy="Choose a controller with more such pins, drivers on the serial bus, or move loads to another module.",
    ask=ask,
    scope="modules",
)
