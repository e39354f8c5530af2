"""Header text of a column to the field it holds, the unit of its bare numbers, and the mode or side it is for."""

import re
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from typing import NamedTuple

from bomtui import units
from bomtui.model.fields import FieldInfo
from bomtui.model.ids import is_id
from bomtui.model.quantity import dimension_named
from bomtui.storage.field_text import FieldError, hint_at, shown
from bomtui.storage.field_writing import SIDES
from bomtui.storage.tabular.price_text import currency_of
from bomtui.storage.tabular.words import keys_by_word

# The unit in square or round brackets.
_BRACKETED = (
    re.compile(r"(?P<name>.*?)\s*\[\s*(?P<unit>[^\[\]]*?)\s*\]", re.DOTALL),
    re.compile(r"(?P<name>.*?)\s*\(\s*(?P<unit>[^()]*?)\s*\)", re.DOTALL),
)
# After a comma, "in", "/", "_" or a space; what ends so may also be another word than a unit.
_TRAILING = (
    re.compile(r"(?P<name>.*?)\s*,\s*(?P<unit>\S+)", re.DOTALL),
    re.compile(r"(?P<name>.*?)\s+in\s+(?P<unit>\S+)", re.DOTALL),
    re.compile(r"(?P<name>[^/]*?)\s*/\s*(?P<unit>\S+)", re.DOTALL),
    re.compile(r"(?P<name>.*)_(?P<unit>[^_\s]+)", re.DOTALL),
    re.compile(r"(?P<name>.*\S)\s+(?P<unit>\S+)", re.DOTALL),
)
# "1+", "100 +", "from 100", "ab 100", "price 100", "Preis ab 100 Stück", "100 pcs".
_BREAK = re.compile(
    r"(?!\s*[0-9]+\s*$)(?:(?:unit\s+)?(?:price|preis|cost)\s*)?(?:@|from|ab|>=)?\s*(?P<least>[0-9]{1,9})\s*"
    r"(?:\+|pcs\.?|pieces|st(?:ü|ue)ck|stk\.?|up)?\s*",
    re.IGNORECASE,
)
_PLAIN_UNITS = frozenset(("1/year", "weeks", "pcs", "pieces", "stk"))
_LISTED_KEYS = 8
_REMEMBERED = 4096
_WORD_GAP = re.compile(r"[\s_-]+")
_END_DOT = re.compile(r"[.:#*]+(?=[\s_-]|$)")

PRICE_KEYS = frozenset(("unit_price", "line_price", "excess_per_year", "breaks"))
"""Columns of money: what stands in the unit's place is a currency."""


class Header(NamedTuple):
    """What a column holds.

    Attributes:
        text: The header as written.
        key: Key of the field.
        info: Field; None for the column of the ids.
        unit: Unit of bare numbers, or currency of prices; None where each cell has to say it.
        entry: Mode, side or order quantity for which the column is; empty where the field has one value.
        is_word: Whether it was recognised by a word that people use, and not by the key of the field.
        group: Source of a column of prices, where a list has several beside each other; empty for any other column.
    """

    text: str
    key: str
    info: FieldInfo | None
    unit: str | None = None
    entry: str = ""
    is_word: bool = False
    group: str = ""

    @property
    def name(self) -> str:
        """What it was taken for, as a header that the program writes."""
        named = ".".join(part for part in (self.key, self.entry) if part)
        named = f"{named} [{self.unit}]" if self.unit else named
        return f"{named} of {self.group}" if self.group else named


class AmbiguousHeaderError(FieldError):
    """A header that can mean several fields.

    Attributes:
        choices: Headers that say which.
    """

    def __init__(self, found: str, expected: str, choices: tuple[str, ...]) -> None:
        super().__init__(found, expected)
        self.choices = choices


class Vocabulary:
    """The headers of one kind of list.

    Args:
        fields: Fields that a column can hold.
        ids: Headers of the column of ids; empty for a list without one.
        words: Words that people use for them.
    """

    def __init__(self, fields: Iterable[FieldInfo], ids: tuple[str, ...], words: Mapping[str, str]) -> None:
        self.fields = tuple(fields)
        self.ids = ids
        # Cells of a long list that are no headers, such as makers and kinds, come again and again.
        self._known: dict[str, bool] = {}
        self._by_word = {word_of(info.key): info for info in self.fields}
        self._keys_of = {word_of(word): keys for word, keys in keys_by_word(words).items()}
        # The names of the model itself carry their unit: test_current_a is the current in A.
        self._by_name = {info.name: info for info in self.fields if info.dimension and info.shape == "quantity"}

    def knows(self, text: str) -> bool:
        """Tell whether a cell could be a header."""
        known = self._known.get(text)
        if known is None:
            known = self._is_known(text)
            if len(self._known) < _REMEMBERED:
                self._known[text] = known
        return known

    def _is_known(self, text: str) -> bool:
        try:
            self.read(text)
        except AmbiguousHeaderError:
            return True
        except FieldError:
            return False
        return True

    def grouped(self, texts: Sequence[str]) -> dict[int, Header]:  # noqa: ARG002 - for lists that have some
        """Return the columns, by their place, of fields that a list may have several times, once for each group."""
        return {}

    def told(self, text: str) -> Header:
        """Recognise what a person says of a column: any header, or the name of a header that was recognised.

        Raises:
            AmbiguousHeaderError: It can mean several fields.
            FieldError: It is no header.
        """
        return self.read(text)

    def near(self, text: str) -> tuple[str, ...]:
        """Return the keys of the fields that a single word of a text would mean: `Widerstand ?` is near resistance."""
        words = word_of(text).split("_")
        found = [key for word in words for key in self._keys_of.get(word, ())]
        found += [self._by_word[word].key for word in words if word in self._by_word]
        return tuple(dict.fromkeys(found))

    def read(self, text: str) -> Header:
        """Recognise a header.

        Args:
            text: Header cell: a key of the field table, the words of it ("rated power") or another usual word, with the
                unit as `[A]`, `(A)`, `, A`, `/ A`, `_A` or ` in A`; for a field with a value per mode, or with a
                smallest, typical and largest one, followed by a dot or space and the mode or side.

        Raises:
            AmbiguousHeaderError: It can mean several fields.
            FieldError: It is no such header, its unit is of another dimension, or it names no lawful mode.
        """
        stripped = " ".join(text.split())
        if stripped in self._by_name:
            info = self._by_name[stripped]
            return Header(text, info.key, info, dimension_named(info.dimension).si_unit)
        found = self._named(text, stripped) or self._bracketed(text, stripped) or self._trailing(text, stripped)
        found = found or self._break(text, stripped) or self._of_two_rows(text, stripped)
        if found is not None:
            return found
        keys = [*self.ids, *(info.key for info in self.fields)]
        hint = hint_at(stripped, keys)
        expected = "a known header" if hint else f"a header such as {', '.join(keys[:_LISTED_KEYS])}"
        raise FieldError(shown(text), expected, f"expected {expected}, found {shown(text)}{hint}")

    def _bracketed(self, text: str, stripped: str) -> Header | None:
        """Recognise a header with its unit in brackets; a unit that does not fit is a fault."""
        for form in _BRACKETED:
            match = form.fullmatch(stripped)
            found = self._named(text, match["name"]) if match else None
            if match is None or found is None:
                continue
            return _with_unit(found, match["name"], match["unit"])
        return None

    def _trailing(self, text: str, stripped: str) -> Header | None:
        """Recognise a header that ends in its unit; where the ending is no unit of the field it is another header."""
        for form in _TRAILING:
            match = form.fullmatch(stripped)
            with suppress(FieldError):
                found = self._named(text, match["name"]) if match else None
                if match is not None and found is not None:
                    return _with_unit(found, match["name"], match["unit"])
        return None

    def _break(self, text: str, stripped: str) -> Header | None:
        """Recognise the column of one price rung."""
        info = self._by_word.get("breaks")
        for form in (*_BRACKETED, None):
            match = form.fullmatch(stripped) if form else None
            name, unit = (match["name"], match["unit"]) if match else (stripped, "")
            rung = _BREAK.fullmatch(name) if form is None or match else None
            if info is None or rung is None or not int(rung["least"]):
                continue
            found = Header(text, info.key, info, entry=str(int(rung["least"])), is_word=True)
            return _with_unit(found, name, unit) if unit else found
        return None

    def _of_two_rows(self, text: str, stripped: str) -> Header | None:
        """Recognise a header of two rows, of which one names the field and the other one a group of columns."""
        parts = stripped.split(" / ")
        known = [part for part in parts if self.knows(part)] if len(parts) > 1 else []
        return self.read(known[0])._replace(text=text) if len(known) == 1 else None

    def _named(self, text: str, name: str) -> Header | None:
        """Recognise a header without its unit; None where it is none."""
        word = word_of(name)
        if word in self.ids:
            return Header(text, self.ids[0], None)
        info = self._by_word.get(word)
        if info is not None:
            return self._plain(text, info, is_word=False)
        return self._by_usual_word(text, word) or self._with_entry(text, name)

    def _by_usual_word(self, text: str, word: str) -> Header | None:
        keys = self._keys_of.get(word, ())
        if len(keys) > 1:
            raise AmbiguousHeaderError(shown(text), f"one of the headers {', '.join(keys)}", keys)
        if not keys:
            return None
        if self.ids and keys[0] == self.ids[0]:
            return Header(text, keys[0], None, is_word=True)
        return self._plain(text, self._by_word[word_of(keys[0])], is_word=True)

    def _plain(self, text: str, info: FieldInfo, *, is_word: bool) -> Header:
        if info.shape == "quantities":
            example = f"{info.key}.MODE [{dimension_named(info.dimension).home_unit}]"
            raise AmbiguousHeaderError(shown(text), f"the mode in the header, as {example}", (example,))
        return Header(text, info.key, info, is_word=is_word)

    def _with_entry(self, text: str, name: str) -> Header | None:
        """Recognise a header that ends in a mode, or in a side of a parameter."""
        for word, info in self._entry_words():
            pattern = word.replace("_", r"[\s_-]+") + r"[.\s_-]+(?P<entry>.+)"
            match = re.fullmatch(pattern, name.strip(), re.IGNORECASE)
            if match is None:
                continue
            if info.shape == "parameter":
                side = match["entry"].casefold().rstrip(".")
                if side in SIDES:
                    return Header(text, info.key, info, entry=side, is_word=word != word_of(info.key))
            # What is no id here may be a mode followed by its unit.
            elif is_id(match["entry"]):
                return Header(text, info.key, info, entry=match["entry"], is_word=word != word_of(info.key))
        return None

    def _entry_words(self) -> Iterable[tuple[str, FieldInfo]]:
        for word, info in self._by_word.items():
            if info.shape in {"quantities", "parameter"}:
                yield word, info
        for word, keys in self._keys_of.items():
            for key in keys:
                named = self._by_word.get(word_of(key))
                if named is not None and named.shape in {"quantities", "parameter"}:
                    yield word, named


def _with_unit(found: Header, name: str, unit: str) -> Header:
    """Return a header with its unit.

    Raises:
        FieldError: The field takes no such unit.
    """
    info = found.info
    if found.key in PRICE_KEYS:
        currency = currency_of(unit)
        if currency is None:
            raise FieldError(f"the unit {shown(unit)}", "a currency (ISO 4217) in the header of a price")
        return found._replace(unit=currency)
    if info is not None and info.shape == "count" and unit in _PLAIN_UNITS:
        return found
    if info is None or not info.dimension:
        raise FieldError(f"the unit {shown(unit)}", f"no unit in the header of {word_of(name)}")
    try:
        units.check_unit(unit, info.dimension)
    except units.QuantityError as error:
        expected = f"a unit of {dimension_named(info.dimension).label}"
        sentence = f"{error} in the header {shown(found.text)}"
        raise FieldError(f"the unit {shown(unit)}", expected, sentence) from None
    return found._replace(unit=unit)


def word_of(text: str) -> str:
    """Return a header's words without capitals and with one kind of gap: `Lfd. Nr.` is `lfd_nr`."""
    return _WORD_GAP.sub("_", _END_DOT.sub("", text.strip())).strip("_").casefold()
