"""Figures as text for people: unit, bound, how much is unknown. Screens and commands write figures through here."""

from collections.abc import Callable, Iterable
from decimal import Decimal
from math import isinf

from bomtui.model.bound import Range, Value, ends, exceeds
from bomtui.model.money import LINE_DIGITS, Total, round_half_up
from bomtui.model.quantity import DIMENSIONS, MAX_SIGNIFICANT_DIGITS, display, display_number, number_text
from bomtui.model.rollup import ChannelUse, DeviceMode, Figure, PinUse

UNKNOWN = "unknown"
NOT_COMPUTED = "-"
"""What stands where a figure does not apply."""

RUNAWAY = "runaway"
"""What stands in place of a junction temperature where heat outgrows cooling."""

DIGITS = 4
"""Significant digits of a figure in a text."""

_Writer = Callable[[float], str]

# Where two dimensions share a unit, the first one is the more common.
_DIMENSION_OF_UNIT = {dimension.si_unit: name for name, dimension in reversed(DIMENSIONS.items())}


def value_text(value: Value, dimension: str, *, digits: int = DIGITS, unicode: bool = False) -> str:
    """Write a figure with its unit: `963.7 uA`, `>= 49 uA  3 unknown`, `<= 80 degC  1 unknown`, `unknown`.

    Args:
        value: In the SI unit of its dimension.
        dimension: Name in the dimension table.
        digits: Significant digits, at most 6.
        unicode: Write the unit's own signs instead of their ASCII spelling.
    """
    return _bounded_text(value, lambda number: display(number, dimension, digits=digits, unicode=unicode))


def measured_text(value: Value | str, unit: str) -> str:
    """Write what a finding measured, or its limit: `162 degC`, `131`, `>= 9  1 unknown`, words as they are.

    Args:
        value: Number in the unit, words, or None for an unknown.
        unit: Unit of the model; empty for words and counts.
    """
    if isinstance(value, str):
        return value
    return value_text(value, _DIMENSION_OF_UNIT[unit]) if unit else _bounded_text(value, number_text)


def column_text(value: Value, dimension: str, unit: str, *, digits: int = DIGITS) -> str:
    """Write a figure without its unit and count, for a column whose header carries the unit: `963.7`, `>=49`, `?`."""
    text = _shown(value, lambda number: display_number(number, dimension, unit, digits), "", "..")
    return "?" if text == UNKNOWN else text


def aligned_text(value: Value, dimension: str, unit: str, decimals: int) -> str:
    """Write a figure for a column in which decimal marks stand below each other: `963.7`, `>=49.0`, `?`.

    What is not nothing is never written as 0: `<0.001`.

    Args:
        value: In the SI unit of its dimension.
        dimension: Name in the dimension table.
        unit: Unit that the header carries.
        decimals: Digits behind the decimal mark; fewer where the number would have more than 6 significant digits.
    """
    smallest = Decimal(1).scaleb(-decimals)

    def written(number: float) -> str:
        exact = Decimal(display_number(number, dimension, unit, MAX_SIGNIFICANT_DIGITS))
        places = min(decimals, max(0, MAX_SIGNIFICANT_DIGITS - 1 - exact.adjusted())) if exact else decimals
        rounded = round_half_up(exact, places)
        return f"<{smallest}" if exact > 0 and not rounded else format(rounded, "f")

    text = _shown(value, written, "", "..")
    return "?" if text == UNKNOWN else text


def days_text(value: Value, *, digits: int = DIGITS) -> str:
    """Write a time in days: `119.8 days`, `<= 30 days  1 unknown`."""
    return _bounded_text(value, lambda number: _days(number, digits))


def days_column_text(value: Value, *, digits: int = DIGITS) -> str:
    """Write a time in days without its unit and count: `119.8`, `<=30`, `?`."""
    text = _shown(value, lambda number: _number(number, digits), "", "..")
    return "?" if text == UNKNOWN else text


def count_column_text(value: Value) -> str:
    """Write a count for a column: `27`, `>=27`, `27..43`, `?`."""
    text = _shown(value, lambda number: decimal_text(Decimal(repr(number))), "", "..")
    return "?" if text == UNKNOWN else text


def corners_text(figure: Figure, dimension: str, *, unicode: bool = False, with_count: bool = True) -> str:
    """Write a figure at both corners: `963.7 uA typ, 1.466 mA max`; once where both are equal or unknown.

    Args:
        figure: In the SI unit of its dimension.
        dimension: Name in the dimension table.
        unicode: Write the unit's own signs.
        with_count: Whether the text says how much is unknown; where it does not, something beside it must.
    """
    typ, largest = (
        _bounded_text(
            value, lambda number: display(number, dimension, digits=DIGITS, unicode=unicode), with_count=with_count
        )
        for value in (figure.typ, figure.max)
    )
    return _both(typ, largest)


def days_corners_text(figure: Figure, *, with_count: bool = True) -> str:
    """Write a time in days at both corners; its worst corner is the shortest time.

    Args:
        figure: Time in days.
        with_count: As for `corners_text`.
    """
    typ, worst = (_bounded_text(value, _days, with_count=with_count) for value in (figure.typ, figure.max))
    return _both(typ, worst, "worst")


def junction_text(
    value: Value, junction_max_degc: float | None, *, runaway: bool = False, unicode: bool = False
) -> str:
    """Write a junction temperature; beyond the part's maximum it is the limit that counts, not the model's number.

    Args:
        value: Junction temperature [degC].
        junction_max_degc: Highest junction temperature of the part; None where the part does not say.
        runaway: Whether there is no temperature at which heat and cooling meet.
        unicode: Write the unit's own signs.
    """
    if runaway:
        return RUNAWAY
    text = value_text(value, "temperature", unicode=unicode)
    if junction_max_degc is None or not exceeds(value, junction_max_degc):
        return text
    return f"over {value_text(junction_max_degc, 'temperature', unicode=unicode)} (model {text})"


def junction_column_text(
    value: Value, junction_max_degc: float | None, *, runaway: bool = False, with_model: bool = True
) -> str:
    """Write a junction temperature for a column whose header carries the unit: `118.2`, `over 150 (model 246.5)`.

    Args:
        value: Junction temperature [degC].
        junction_max_degc: Highest junction temperature of the part; None where the part does not say.
        runaway: Whether there is no temperature at which heat and cooling meet.
        with_model: Whether the model's number follows where it is beyond the maximum.
    """
    if runaway:
        return RUNAWAY
    text = column_text(value, "temperature", "degC")
    if junction_max_degc is None or not exceeds(value, junction_max_degc):
        return text
    over = f"over {column_text(junction_max_degc, 'temperature', 'degC')}"
    return f"{over} (model {text})" if with_model else over


def is_over(mode: DeviceMode, junction_max_degc: float | None) -> bool:
    """Tell whether a device is surely too hot in a mode, so that its temperature is no number to rank by."""
    return mode.runaway or any(
        exceeds(value, junction_max_degc) is True for value in (mode.junction_degc.typ, mode.junction_degc.max)
    )


def money_text(total: Total | Decimal | None, currency: str, digits: int = LINE_DIGITS) -> str:
    """Write an amount: `439.2334 EUR`, `>= 12.5000 EUR  2 unknown`, `unknown`."""
    if total is None:
        return UNKNOWN
    if isinstance(total, Decimal):
        return f"{amount_text(total, digits)} {currency}"
    amount = f"{amount_text(total.amount, digits)} {currency}"
    return f">= {amount}  {total.unknown} unknown" if total.unknown else amount


def amount_text(amount: Decimal, digits: int = LINE_DIGITS) -> str:
    """Write an amount without its currency, rounded half up."""
    return format(round_half_up(amount, digits), "f")


def signed_amount_text(amount: Decimal, digits: int = LINE_DIGITS) -> str:
    """Write a difference with its sign: `+1.2300`, `-0.5000`, `0.0000`."""
    text = amount_text(amount, digits)
    if not Decimal(text):
        # A negative amount that rounds to nothing has no sign either.
        return text.removeprefix("-")
    return f"+{text}" if amount > 0 else text


def amount_column_text(total: Total | Decimal | None, digits: int = LINE_DIGITS) -> str:
    """Write an amount for a column whose header carries the currency: `439.2334`, `>=12.5000`, `?`."""
    if total is None:
        return "?"
    if isinstance(total, Decimal):
        return amount_text(total, digits)
    return f"{'>=' if total.unknown else ''}{amount_text(total.amount, digits)}"


def decimal_text(number: Decimal) -> str:
    """Write an exact number without exponent and without zeros at its end."""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def channels_text(use: ChannelUse) -> str:
    """Write used and all driver channels: `22/28`, `22/>=28`."""
    return f"{use.used}/{'>=' if use.unknown else ''}{use.total}"


def pins_text(use: PinUse) -> str:
    """Write needed and all controller pins: `109/148`, `>=109/148`, `31/>=20` where a controller does not say."""
    if not use.unknown:
        return f"{use.used}/{use.total}"
    return f">={use.used}/{'?' if not use.total else use.total}"


def unknown_count(*values: Value) -> int:
    """Count what is missing in figures; a figure of which nothing is known counts as one."""
    names: set[str] = set()
    blank = 0
    for value in values:
        if value is None:
            blank = 1
        elif isinstance(value, Range):
            names |= value.unknown
    return len(names) + blank


def unknown_text(count: int) -> str:
    """Write how many terms are missing; empty for none."""
    return f"{count} unknown" if count else ""


def counted(number: int, one: str, many: str) -> str:
    """Write a number with its noun."""
    return f"{number} {one if number == 1 else many}"


def listed(names: Iterable[str], at_most: int) -> str:
    """Write names, and how many more there are."""
    names = list(names)
    more = len(names) - at_most
    return ", ".join(names[:at_most]) + (f" and {more} more" if more > 0 else "")


def bound_of(value: Value) -> str:
    """Return how a figure is known: `exact`, `at_least`, `at_most`, `between` or `unknown`."""
    if value is None:
        return UNKNOWN
    if not isinstance(value, Range):
        return "exact"
    if isinf(value.high):
        return UNKNOWN if isinf(value.low) else "at_least"
    return "at_most" if isinf(value.low) or not value.low else "between"


def _bounded_text(value: Value, written: _Writer, *, with_count: bool = True) -> str:
    text = _shown(value, written, " ", " to ")
    count = unknown_text(len(value.unknown)) if with_count and isinstance(value, Range) else ""
    return f"{text}  {count}" if count and text != UNKNOWN else text


def _shown(value: Value, written: _Writer, gap: str, between: str) -> str:
    if value is None:
        return UNKNOWN
    low, high = ends(value)
    match bound_of(value):
        case "exact":
            return written(low)
        case "at_least":
            return f">={gap}{written(low)}"
        case "at_most":
            return f"<={gap}{written(high)}"
        case "between":
            return _from_to(written(low), between, written(high))
        case _:
            return UNKNOWN


def _from_to(low: str, between: str, high: str) -> str:
    """Write both ends of a range, and their unit once where they share it."""
    number, gap, unit = low.rpartition(" ")
    return f"{number if gap and high.endswith(gap + unit) else low}{between}{high}"


def _days(number: float, digits: int = DIGITS) -> str:
    return f"{_number(number, digits)} days"


def _number(number: float, digits: int) -> str:
    return decimal_text(Decimal(f"{number:.{digits}g}"))


def _both(typ: str, largest: str, word: str = "max") -> str:
    return typ if typ == largest else f"{typ} typ, {largest} {word}"
