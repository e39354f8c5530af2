"""Values of a load that can hardly be meant, each with its likely cause.

The bounds are wide on purpose: they find a unit read a thousand times too large, not an unusual load.
"""

from collections.abc import Collection
from dataclasses import dataclass

from bomtui.model.load import INPUT_DRIVES, Load
from bomtui.model.quantity import display


@dataclass(frozen=True, slots=True)
class Span:
    """Plausible values of one field of one kind of load."""

    lowest: float
    highest: float


LARGEST_CURRENT_A: float = 400.0
"""No single load of a 12 V to 48 V vehicle but a starter draws more (common practice, no source)."""
LARGEST_INPUT_CURRENT_A: float = 1.0
"""A switch, sensor or bus node draws less from the electronics (common practice, no source)."""
SMALLEST_WINDING_OHM: float = 0.005
"""No winding or coil has less (common practice, no source)."""
AGREEMENT = Span(0.75, 1.45)
"""Voltage times current over power within which two figures of one load agree: lamps and heaters are rated at 12 V or
24 V and their current is given at up to 28 V, which makes 1.36 at most (derivation: (28/24)^2)."""
THOUSANDFOLD = Span(300.0, 3000.0)
"""A factor of this size is milli or kilo read wrongly (derivation: 1000 within half a decade)."""


def doubts(load: Load, given: Collection[str]) -> tuple[list[str], list[str]]:
    """Say what of a load can hardly be meant.

    Args:
        load: The load.
        given: Fields that its row gives.

    Returns:
        What makes the row useless until somebody decides, and what only deserves a look, one sentence each.
    """
    fatal, doubtful = _power_and_current(load)
    current = load.test_current_a
    if current is not None and current > LARGEST_CURRENT_A:
        doubtful.append(
            f"a current of {display(current, 'current', unicode=False)} can hardly be meant; "
            "likely cause: milliamperes read as amperes"
        )
    elif current is not None and load.drive in INPUT_DRIVES and current > LARGEST_INPUT_CURRENT_A:
        doubtful.append(
            f"an input ({load.drive}) of {display(current, 'current', unicode=False)} can hardly be meant; likely "
            "cause: milliamperes read as amperes, or a wrong drive code"
        )
    if current == 0 and "test_current_a" in given and load.drive not in INPUT_DRIVES:
        doubtful.append("a current of 0 A of an output can hardly be meant; likely cause: a blank cell written as 0")
    resistance = load.resistance_ohm
    if resistance is not None and resistance < SMALLEST_WINDING_OHM:
        doubtful.append(
            f"a resistance of {display(resistance, 'resistance', unicode=False)} can hardly be meant; likely cause: a "
            "blank cell written as 0, or mohm for ohm"
        )
    if load.peak_current_a is not None and current is not None and 0 < load.peak_current_a < current:
        doubtful.append(
            f"the peak of {display(load.peak_current_a, 'current', unicode=False)} is below the current of "
            f"{display(current, 'current', unicode=False)}; likely cause: columns exchanged, or another unit"
        )
    return fatal, doubtful


def _power_and_current(load: Load) -> tuple[list[str], list[str]]:
    """Compare the two figures of the power where the row gives both."""
    power, current, voltage = load.rated_power_w, load.test_current_a, load.rated_voltage_v
    if not power or not current:
        return [], []
    if voltage is not None:
        product = voltage * current
        ratio = product / power
        if not AGREEMENT.lowest <= ratio <= AGREEMENT.highest and load.kind not in _DRIVEN_KINDS:
            sentence = (
                f"{display(voltage, 'voltage', unicode=False)} times {display(current, 'current', unicode=False)} is "
                f"{display(product, 'power', unicode=False)}, but the power is {display(power, 'power', unicode=False)}"
            )
            return [sentence + _cause(ratio)], []
        return [], []
    for nominal in _NOMINAL_V:
        ratio = nominal * current / power
        if not THOUSANDFOLD.lowest <= max(ratio, 1 / ratio) <= THOUSANDFOLD.highest:
            return [], []
    sentence = (
        f"{display(current, 'current', unicode=False)} do not go with a power of "
        f"{display(power, 'power', unicode=False)} at any vehicle supply"
    )
    return [], [sentence + _cause(_NOMINAL_V[0] * current / power)]


_NOMINAL_V = (12.0, 24.0)
# Their power is what they give, or a mean; their current is not what follows from it.
_DRIVEN_KINDS = frozenset(("speaker", "injector", "coil", "glow_plug"))


def _cause(ratio: float) -> str:
    if THOUSANDFOLD.lowest <= ratio <= THOUSANDFOLD.highest:
        return "; likely cause: milliamperes read as amperes"
    if THOUSANDFOLD.lowest <= 1 / ratio <= THOUSANDFOLD.highest:
        return "; likely cause: amperes read as milliamperes"
    return "; say which one is right"
