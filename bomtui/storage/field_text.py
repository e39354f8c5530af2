"""One field of a record as file text: read with one clear sentence for each fault, written in one canonical form.

The field table says what a field is; this module is the only place that knows how each shape looks in a file. A raw
value is what the TOML reader gives (text, number, flag, date, list, table) or the text of one cell of a sheet.
"""

import datetime
import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

import msgspec

from bomtui import units
from bomtui.model import quantity
from bomtui.model.fields import FieldInfo, Shape
from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.money import Money, is_currency
from bomtui.model.parameter import Parameter
from bomtui.model.part import SALE_UNITS, PriceBreak
from bomtui.model.plain_text import clean
from bomtui.model.variant import Amount
from bomtui.storage.field_writing import SIDES, UNKNOWN, TomlValue, is_left_out, write_cell, write_field

__all__ = [
    "FAULTY",
    "UNKNOWN",
    "FieldError",
    "Report",
    "TomlValue",
    "expected_text",
    "hint_at",
    "is_left_out",
    "nearest",
    "read_field",
    "read_members",
    "shown",
    "write_cell",
    "write_field",
]

FAULTY: Any = msgspec.UNSET
"""What `read_members` returns for a value of which nothing can be taken."""

Report = Callable[[tuple[str, ...], "FieldError"], None]
"""Takes a fault and the keys below the field at which it was found."""

# Levels and differences have a sign of their own; for every other dimension a negative value is a slip or a code for
# "missing" (-99999).
_SIGNED_DIMENSIONS = frozenset(
    ("temperature", "temperature_difference", "temperature_coefficient", "power_level", "attenuation", "angle")
)

_PLAIN_DECIMAL = re.compile(r"[0-9]+(?:\.[0-9]+)?")
# With more digits a product of two of them could lose some in the default decimal context.
_LONGEST_DECIMAL = 24
_MAX_COUNT = 10**12
_PIECES = frozenset(("piece", "pieces", "pc", "pcs"))
_SHOWN_LENGTH = 40
_NEAR_RATIO = 0.7
_FLAGS = {"true": True, "yes": True, "false": False, "no": False}


class FieldError(ValueError):
    """A value that its field cannot take; its text is one sentence for the person who wrote it.

    Attributes:
        found: What stands there.
        expected: What the field takes.
    """

    def __init__(self, found: str, expected: str, sentence: str = "") -> None:
        super().__init__(sentence or f"expected {expected}, found {found}")
        self.found = found
        self.expected = expected


def read_field(
    info: FieldInfo, raw: object, *, default_unit: str | None = None, decimal_mark: str | None = None
) -> Any:  # noqa: ANN401 - a value has the type of its field
    """Read the value of one field.

    Args:
        info: Row of the field table; not of shape `record` or `records`.
        raw: TOML value, or the text of a cell. In a cell the entries of a list are separated by `;`, those of a table
            are `key: value`.
        default_unit: Unit of a bare number, where a column's header shows it.
        decimal_mark: "." or "," where the text's origin is known to use it.

    Raises:
        FieldError: The field cannot take the value.
    """
    faults: list[FieldError] = []
    value = read_members(
        info, raw, lambda _, fault: faults.append(fault), default_unit=default_unit, decimal_mark=decimal_mark
    )
    if faults:
        raise faults[0]
    return value


def read_members(
    info: FieldInfo,
    raw: object,
    report: Report,
    *,
    default_unit: str | None = None,
    decimal_mark: str | None = None,
) -> Any:  # noqa: ANN401 - a value has the type of its field
    """Read as `read_field` does, but report every fault and keep what can be kept.

    Returns:
        The value without the faulty entries of a table, or `FAULTY` where there is nothing to keep. A list is taken
        as a whole or not at all: a price ladder with a rung missing gives another price.
    """
    reader = _Reader(info, report, default_unit, decimal_mark)
    if info.optional and _is_unknown(raw) and info.shape != "text":
        return None
    try:
        return reader.read(info.shape, raw, ())
    except FieldError as fault:
        report((), fault)
        return FAULTY


def expected_text(info: FieldInfo) -> str:
    """Say in a few words what a field takes."""
    return _expected(info, info.shape)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known word that a word was probably meant to be; empty where none, or several, are as near."""
    return _nearest(word, tuple(known))


@lru_cache(maxsize=512)
def _nearest(word: str, known: tuple[str, ...]) -> str:
    for candidate in known:
        if candidate.casefold() == word.casefold():
            return candidate
    near = difflib.get_close_matches(word[:_SHOWN_LENGTH], known, n=2, cutoff=_NEAR_RATIO)
    scores = [difflib.SequenceMatcher(None, candidate, word[:_SHOWN_LENGTH]).ratio() for candidate in near]
    return near[0] if len(set(scores)) == len(scores) and near else ""


def hint_at(word: str, known: Iterable[str]) -> str:
    """Return the part of a message that names the nearest known word; empty where none is near."""
    near = nearest(word, known)
    return f" (did you mean {near}?)" if near else ""


def shown(raw: object) -> str:
    """Describe a raw value in a message: short, harmless for a terminal."""
    if isinstance(raw, str):
        text = clean(raw[: 4 * _SHOWN_LENGTH])
        return f'"{text}"' if len(text) <= _SHOWN_LENGTH else f'"{text[:_SHOWN_LENGTH]}..."'
    if isinstance(raw, bool):
        return f"the flag {str(raw).lower()}"
    if isinstance(raw, int):
        return f"the number {raw}" if abs(raw) < 10**_SHOWN_LENGTH else "a number of very many digits"
    if isinstance(raw, float):
        return f"the number {raw!r}"
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, datetime.date | datetime.time):
        return f"the date or time {raw.isoformat()}"
    return f"a {type(raw).__name__}"


def _is_unknown(raw: object) -> bool:
    return isinstance(raw, str) and raw.strip().casefold() == UNKNOWN


def _expected(info: FieldInfo, shape: Shape | None) -> str:
    if shape in {"quantity", "parameter"}:
        kind = quantity.dimension_named(info.dimension)
        article = "an" if kind.label[0] in "aeiou" else "a"
        return f"{article} {kind.label} ({kind.home_unit})"
    if info.choices:
        return f"one of {', '.join(info.choices)}"
    return _EXPECTED.get(shape or "", "a table")


_EXPECTED = {
    "count": "a whole number, zero or more",
    "decimal": "a number",
    "amount": f"a quantity such as 3 or 1.8 dm2 ({', '.join(SALE_UNITS)})",
    "money": "an amount with its currency, such as 0.011 EUR",
    "flag": "true or false",
    "text": "text in quotes",
    "date": "a date such as 2026-11-20",
    "texts": "a list of texts",
    "breaks": 'price rungs such as ["500: 1.2328", "1000: 0.92"]',
}


class _Reader:
    """Reads the raw value of one field."""

    def __init__(self, info: FieldInfo, report: Report, default_unit: str | None, decimal_mark: str | None) -> None:
        self._info = info
        self._report = report
        self._default_unit = default_unit
        self._decimal_mark = decimal_mark

    def read(self, shape: Shape, raw: object, where: tuple[str, ...]) -> Any:  # noqa: ANN401 - type of the field
        """Read a value of one shape; entries of a table report their own faults."""
        if shape == "parameter":
            return self._parameter(raw, where)
        if shape in {"quantities", "words"}:
            return self._entries(raw, where)
        return getattr(self, f"_{shape}")(raw)

    def _fault(self, raw: object, expected: str = "", sentence: str = "") -> FieldError:
        return FieldError(shown(raw), expected or expected_text(self._info), sentence)

    def _quantity(self, raw: object) -> float:
        info = self._info
        expected = _expected(info, "quantity")
        if isinstance(raw, bool) or not isinstance(raw, str | int | float):
            raise self._fault(raw, expected)
        text = raw if isinstance(raw, str) else repr(raw)
        try:
            value = units.parse(text, info.dimension, default_unit=self._default_unit, decimal_mark=self._decimal_mark)
        except units.QuantityError as error:
            raise self._fault(raw, expected, str(error)) from None
        if value < 0 and info.dimension not in _SIGNED_DIMENSIONS:
            raise self._fault(raw, f"{expected}, not negative")
        if value > 1 and info.is_share:
            raise self._fault(raw, "a share of 0 % to 100 %")
        return value

    def _parameter(self, raw: object, where: tuple[str, ...]) -> Any:  # noqa: ANN401 - Parameter or FAULTY
        if _is_unknown(raw):
            return Parameter()
        if not isinstance(raw, dict) and not (isinstance(raw, str) and ":" in raw):
            expected = f"{_expected(self._info, 'parameter')} for each of {', '.join(SIDES)}"
            raise self._fault(raw, f"{expected}, as {self._info.key}.typ or {self._info.key}.max")
        sides: dict[str, float | None] = {}
        for key, entry in self._table(raw).items():
            if key not in SIDES:
                self._report((*where, key), FieldError(f"the key {key}", f"one of the keys {', '.join(SIDES)}"))
                continue
            try:
                sides[key] = None if _is_unknown(entry) else self._quantity(entry)
            except FieldError as fault:
                self._report((*where, key), fault)
        given = [value for value in (sides.get(side) for side in SIDES) if value is not None]
        if given != sorted(given):
            raise self._fault(raw, "min <= typ <= max", f"expected min <= typ <= max, found {_sides_text(raw)}")
        return Parameter(**sides)

    def _entries(self, raw: object, where: tuple[str, ...]) -> dict[str, Any]:
        entries: dict[str, Any] = {}
        for key, entry in self._table(raw).items():
            if not is_id(key):
                self._report((*where, key), FieldError(shown(key), f"an id of {ID_RULE}"))
                continue
            try:
                value = self.read(self._info.values or "text", entry, (*where, key))
            except FieldError as fault:
                self._report((*where, key), fault)
            else:
                entries[key] = value
        return entries

    def _table(self, raw: object) -> Mapping[str, object]:
        if isinstance(raw, dict):
            return raw
        if not isinstance(raw, str):
            raise self._fault(raw, f"a table of {_expected(self._info, self._info.values)}")
        table: dict[str, object] = {}
        for piece in _pieces(raw):
            key, colon, entry = piece.partition(":")
            if not colon or key.strip() in table:
                raise self._fault(piece, "entries such as NAME: value, separated by ';', each name once")
            table[key.strip()] = entry.strip()
        return table

    def _count(self, raw: object) -> int:
        expected = _EXPECTED["count"]
        if isinstance(raw, str):
            try:
                return units.parse_count(raw, decimal_mark=self._decimal_mark)
            except units.QuantityError as error:
                raise self._fault(raw, expected, str(error)) from None
        if isinstance(raw, bool) or not isinstance(raw, int) or not 0 <= raw <= _MAX_COUNT:
            raise self._fault(raw, expected)
        return raw

    def _decimal(self, raw: object) -> Decimal:
        if not isinstance(raw, str):
            # A TOML float has already lost the digits that were written.
            raise self._fault(raw, "a number in quotes")
        return self._exact(raw.strip(), raw)

    def _exact(self, text: str, raw: object) -> Decimal:
        """Read an exact number, zero or more, keeping the digits as written."""
        if _PLAIN_DECIMAL.fullmatch(text) and self._decimal_mark != ",":
            number = Decimal(text)
        else:
            try:
                number = units.parse_number(text, decimal_mark=self._decimal_mark)
            except units.QuantityError as error:
                raise self._fault(raw, "", str(error)) from None
            whole = number.to_integral_value()
            number = whole if number == whole else number
        if len(format(number, "f")) > _LONGEST_DECIMAL:
            raise self._fault(raw, f"a number of at most {_LONGEST_DECIMAL} characters")
        if number < 0:
            raise self._fault(raw, f"{expected_text(self._info)}, not negative")
        # Minus zero is written as zero; abs() would round to the context's digits.
        return number.copy_abs()

    def _amount(self, raw: object) -> Amount:
        if isinstance(raw, int) and not isinstance(raw, bool):
            return Amount(quantity=Decimal(self._count(raw)))
        if not isinstance(raw, str):
            raise self._fault(raw)
        match = re.fullmatch(r"(.*?)\s*([A-Za-z]+[2\u00b2]?)?", raw.strip())
        if match is None or not match[1]:
            raise self._fault(raw)
        unit = (match[2] or "piece").replace("\N{SUPERSCRIPT TWO}", "2")
        unit = "piece" if unit in _PIECES else unit
        if unit not in SALE_UNITS:
            raise self._fault(raw)
        return Amount(quantity=self._exact(match[1], raw), unit=unit)

    def _money(self, raw: object) -> Money:
        if not isinstance(raw, str):
            raise self._fault(raw)
        head, _, tail = raw.strip().rpartition(" ")
        if not is_currency(tail):
            tail, _, head = raw.strip().partition(" ")
        if not is_currency(tail) or not head:
            raise self._fault(raw)
        return Money(amount=self._exact(head.strip(), raw), currency=tail)

    def _flag(self, raw: object) -> bool:
        if isinstance(raw, bool):
            return raw
        flag = _FLAGS.get(raw.strip().casefold()) if isinstance(raw, str) else None
        if flag is None:
            raise self._fault(raw)
        return flag

    def _choice(self, raw: object) -> str:
        if isinstance(raw, str) and raw in self._info.choices:
            return raw
        expected = expected_text(self._info)
        hint = hint_at(raw, self._info.choices) if isinstance(raw, str) else ""
        raise self._fault(raw, expected, f"expected {expected}, found {shown(raw)}{hint}")

    def _text(self, raw: object) -> str:
        if not isinstance(raw, str):
            raise self._fault(raw, _EXPECTED["text"])
        if self._info.key == "currency" and raw and not is_currency(raw):
            raise self._fault(raw, "a currency (three capital letters of ISO 4217)")
        return raw

    def _date(self, raw: object) -> datetime.date:
        if isinstance(raw, datetime.date) and not isinstance(raw, datetime.datetime):
            return raw
        if isinstance(raw, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", raw.strip(), re.ASCII):
            try:
                return datetime.date.fromisoformat(raw.strip())
            except ValueError:
                raise self._fault(raw) from None
        raise self._fault(raw)

    def _texts(self, raw: object) -> tuple[str, ...]:
        if isinstance(raw, str):
            raw = _pieces(raw)
        if not isinstance(raw, list):
            raise self._fault(raw, _EXPECTED["texts"])
        for entry in raw:
            if not isinstance(entry, str):
                raise self._fault(entry, "only texts in quotes in the list")
            if self._info.choices:
                self._choice(entry)
        return tuple(raw)

    def _breaks(self, raw: object) -> tuple[PriceBreak, ...]:
        rungs: dict[int, PriceBreak] = {}
        entries = _pieces(raw) if isinstance(raw, str) else raw
        if not isinstance(entries, list):
            raise self._fault(raw)
        for entry in entries:
            if not isinstance(entry, str) or ":" not in entry:
                raise self._fault(entry)
            least, _, price = entry.partition(":")
            rung = PriceBreak(quantity=self._count(least.strip()), price=self._exact(price.strip(), entry))
            if not rung.quantity:
                raise self._fault(entry, "a price rung from at least 1 piece")
            if rung.quantity in rungs:
                raise self._fault(entry, f"one price from {rung.quantity} pieces")
            rungs[rung.quantity] = rung
        return tuple(rungs[least] for least in sorted(rungs))


def _pieces(text: str) -> list[str]:
    return [piece for piece in (part.strip() for part in text.split(";")) if piece]


def _sides_text(raw: object) -> str:
    if isinstance(raw, dict):
        return ", ".join(f"{side} {shown(raw[side])}" for side in SIDES if side in raw)
    return shown(raw)
