"""Header text of a column to the field it holds, the unit of its bare numbers, and the mode it is for."""

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import NamedTuple

from bomtui import units
from bomtui.model.fields import FieldInfo
from bomtui.model.ids import is_id
from bomtui.model.lists import ID_KEYS
from bomtui.model.quantity import dimension_named
from bomtui.storage.field_text import FieldError, hint_at, shown

# The unit in square or round brackets.
_BRACKETED = (
    re.compile(r"(?P<name>.*?)\s*\[\s*(?P<unit>[^\[\]]*?)\s*\]", re.DOTALL),
    re.compile(r"(?P<name>.*?)\s*\(\s*(?P<unit>[^()]*?)\s*\)", re.DOTALL),
)
# After a comma, "in" or "_"; what ends so may also be another word than a unit.
_TRAILING = (
    re.compile(r"(?P<name>.*?)\s*,\s*(?P<unit>\S+)", re.DOTALL),
    re.compile(r"(?P<name>.*?)\s+in\s+(?P<unit>\S+)", re.DOTALL),
    re.compile(r"(?P<name>.*)_(?P<unit>[^_\s]+)", re.DOTALL),
)
_LISTED_KEYS = 8
_WORD_GAP = re.compile(r"[\s_-]+")


class Header(NamedTuple):
    """What a column holds.

    Attributes:
        text: The header as written.
        info: Field; None for the column of the ids.
        unit: Unit of bare numbers; None where each cell has to say it.
        entry: Mode for which the column is; empty where the field has one value.
    """

    text: str
    info: FieldInfo | None
    unit: str | None = None
    entry: str = ""


def read_header(text: str, fields: Sequence[FieldInfo]) -> Header:
    """Recognise a header.

    Args:
        text: Header cell: a key of the field table or the words of it ("rated power"), with the unit as `[A]`, `(A)`,
            `, A`, `_A` or ` in A`; for a field with a value per mode followed by a dot or space and the mode.
        fields: Fields that a column can hold.

    Raises:
        FieldError: It is no such header, its unit is of another dimension, or it names no lawful mode.
    """
    stripped = text.strip()
    by_word = {_word(info.key): info for info in fields}
    # The names of the model itself carry their unit: test_current_a is the current in A.
    for info in fields:
        if info.dimension and stripped == info.name and info.shape == "quantity":
            return Header(text, info, dimension_named(info.dimension).si_unit)
    found = _named(text, stripped, by_word) or _bracketed(text, stripped, by_word) or _trailing(text, stripped, by_word)
    if found is not None:
        return found
    keys = [*ID_KEYS, *(info.key for info in fields)]
    hint = hint_at(stripped, keys)
    expected = "a known header" if hint else f"a header such as {', '.join(keys[:_LISTED_KEYS])}"
    raise FieldError(shown(text), expected, f"expected {expected}, found {shown(text)}{hint}")


def _bracketed(text: str, stripped: str, by_word: Mapping[str, FieldInfo]) -> Header | None:
    """Recognise a header with its unit in brackets; a unit that does not fit is a fault."""
    for form in _BRACKETED:
        match = form.fullmatch(stripped)
        found = _named(text, match["name"], by_word) if match else None
        if match is None or found is None:
            continue
        info = found.info
        if info is None or not info.dimension:
            raise FieldError(f"the unit {shown(match['unit'])}", f"no unit in the header of {_word(match['name'])}")
        try:
            units.check_unit(match["unit"], info.dimension)
        except units.QuantityError as error:
            expected = f"a unit of {dimension_named(info.dimension).label}"
            sentence = f"{error} in the header {shown(text)}"
            raise FieldError(f"the unit {shown(match['unit'])}", expected, sentence) from None
        return found._replace(unit=match["unit"])
    return None


def _trailing(text: str, stripped: str, by_word: Mapping[str, FieldInfo]) -> Header | None:
    """Recognise a header that ends in its unit; where the ending is no unit of the field it is another header."""
    for form in _TRAILING:
        match = form.fullmatch(stripped)
        found = _named(text, match["name"], by_word) if match else None
        if match is None or found is None or found.info is None or not found.info.dimension:
            continue
        with suppress(units.QuantityError):
            units.check_unit(match["unit"], found.info.dimension)
            return found._replace(unit=match["unit"])
    return None


def _named(text: str, name: str, by_word: Mapping[str, FieldInfo]) -> Header | None:
    """Recognise a header without its unit; None where it is none."""
    word = _word(name)
    if word in ID_KEYS:
        return Header(text, None)
    info = by_word.get(word)
    if info is not None and info.shape == "quantities":
        example = f"{info.key}.MODE [{dimension_named(info.dimension).home_unit}]"
        raise FieldError(shown(text), f"the mode in the header, as {example}")
    if info is not None:
        return Header(text, info)
    for info in by_word.values():
        if info.shape != "quantities":
            continue
        match = re.fullmatch(info.key.replace("_", r"[\s_-]+") + r"[.\s_-]+(?P<mode>.+)", name.strip(), re.IGNORECASE)
        # What is no id here may be a mode followed by its unit.
        if match and is_id(match["mode"]):
            return Header(text, info, entry=match["mode"])
    return None


def _word(text: str) -> str:
    return _WORD_GAP.sub("_", text.strip()).casefold()
