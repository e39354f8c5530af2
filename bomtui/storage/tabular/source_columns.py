"""Columns of prices of several sources beside each other: which source each column is of.

A source stands above its columns (`Alpha / Price`), in them (`Alpha price [EUR]`, `Preis (Beta)`), or is counted
(`Supplier 1`, `Price 1`). Prices counted from 1 in steps of 1 are taken for those of sources, not for rungs of 1 and 2
pieces; whose stand is asked, so that a person sees it.
"""

import re
from collections.abc import Iterable, Sequence

from bomtui.model.fields import FieldInfo
from bomtui.storage.field_text import FieldError
from bomtui.storage.tabular.header import Header, Vocabulary
from bomtui.storage.tabular.price_text import currency_of
from bomtui.storage.tabular.words import OFFER_WORDS, PART_WORDS, TOTAL_WORDS

PRICES = frozenset(("unit_price", "breaks"))
SOURCE = "supplier"
OFFER_KEYS = frozenset(
    (*PRICES, SOURCE, "sku", "moq", "multiple", "lead_weeks", "currency", "price_date", "price_valid_to", "line_price")
)
"""Fields of which every source of a part has its own."""

_LEAST_SOURCES = 2
_AROUND = " -:,/()[]"
_GAP = re.compile(r"[\s_]+|\s*:\s*")
_BRACKETS = re.compile(r"(?P<name>.*?)\s*[\[(](?P<inside>[^\[\]()]*)[\])]\s*")
_PER = re.compile(r"(?:per|pro|je|for|für|fuer)\b", re.IGNORECASE)
_COUNTED = re.compile(r"[0-9]{1,2}|[A-Za-z]")


class PartVocabulary(Vocabulary):
    """The headers of a list of parts.

    Args:
        fields: Fields that a column can hold.
    """

    def __init__(self, fields: Iterable[FieldInfo]) -> None:
        fields = tuple(fields)
        super().__init__(fields, (), PART_WORDS)
        offers = [info for info in fields if info.key in OFFER_KEYS]
        words = {key: line for key, line in PART_WORDS.items() if key in OFFER_KEYS}
        words |= {key: "|".join(filter(None, (words.get(key), line))) for key, line in OFFER_WORDS.items()}
        self._offers = Vocabulary(offers, (), words)

    def grouped(self, texts: Sequence[str]) -> dict[int, Header]:
        """Return the columns of sources by their place; none where no two sources have prices."""
        counted = self._counted(texts)
        found = {place: header for place, text in enumerate(texts) if (header := self._of_source(text, counted))}
        spelling: dict[str, str] = {}
        for place, header in found.items():
            found[place] = header._replace(group=spelling.setdefault(header.group.casefold(), header.group))
        priced = {header.group for header in found.values() if header.key in PRICES}
        if len(priced) < _LEAST_SOURCES:
            return {}
        return {place: header for place, header in found.items() if header.group in priced}

    def told(self, text: str) -> Header:
        """Recognise what a person says of a column, `unit_price [EUR] of Alpha` too."""
        field, _, group = text.partition(" of ")
        header = self._offer(field) if group.strip() else None
        return self.read(text) if header is None else header._replace(text=text, group=group.strip())

    def _offer(self, text: str) -> Header | None:
        try:
            return self._offers.read(text)
        except FieldError:
            return None

    def _counted(self, texts: Iterable[str]) -> frozenset[str]:
        """Return the signs by which sources are counted: `1` and `2`, or `A` and `B`."""
        named, prices = set(), set()
        for text in texts:
            name, unit = _name_and_unit(text)
            *words, last = _GAP.split(name) or [""]
            header = self._offer(" ".join(words)) if words and _COUNTED.fullmatch(last) else None
            if header is not None and header.key == SOURCE and not unit:
                named.add(last.casefold())
            elif header is not None and header.key == "unit_price" and last.isdecimal():
                prices.add(int(last))
        if len(named) >= _LEAST_SOURCES:
            return frozenset(named)
        is_a_count = len(prices) >= _LEAST_SOURCES and prices == set(range(1, len(prices) + 1))
        return frozenset(map(str, prices)) if is_a_count else frozenset()

    def _of_source(self, text: str, counted: frozenset[str]) -> Header | None:
        if not text:
            return None
        return self._above(text) or self._by_words(text, counted)

    def _above(self, text: str) -> Header | None:
        """Read a header of two rows, of which one names the source."""
        parts = text.split(" / ")
        if len(parts) != 2:
            return None
        headers = [self._offer(part) for part in parts]
        known = [header for header in headers if header is not None]
        group = next((part for part, header in zip(parts, headers, strict=True) if header is None), "")
        return self._with_source(known[0], text, group) if len(known) == 1 else None

    def _by_words(self, text: str, counted: frozenset[str]) -> Header | None:
        """Read a header of which some words name the field and the others the source; the field takes what it can."""
        name, unit = _name_and_unit(text)
        words = _GAP.split(name)
        inside = _BRACKETS.fullmatch(name)
        splits = [(inside["name"], inside["inside"])] if inside else []
        for size in range(len(words) - 1, 0, -1):
            splits.append((" ".join(words[-size:]), " ".join(words[:-size])))
            splits.append((" ".join(words[:size]), " ".join(words[size:])))
        is_known = self.knows(text)
        for field, group in splits:
            plain = group.strip(_AROUND).casefold()
            header = self._offer(f"{field} {unit}".strip()) if plain else None
            if header is None or (plain not in counted and (is_known or header.key == SOURCE)):
                continue
            return self._with_source(header, text, group, is_counted=plain in counted)
        return None

    def _with_source(self, header: Header, text: str, group: str, *, is_counted: bool = False) -> Header | None:
        """Return a header with its source; None for what can be none: a currency, a quantity, a sum, another field."""
        name = " ".join(group.split()).strip(_AROUND)
        is_word = any(map(str.isalpha, name)) and currency_of(name) is None and name.casefold() not in TOTAL_WORDS
        is_name = is_counted or (is_word and not _PER.match(name) and self._offer(name) is None)
        return header._replace(text=text, group=name, is_word=True) if is_name else None


def _name_and_unit(text: str) -> tuple[str, str]:
    """Return a header without the currency in brackets at its end, and that."""
    match = _BRACKETS.fullmatch(text)
    if match is None or currency_of(match["inside"]) is None:
        return text, ""
    return match["name"], f"[{match['inside'].strip()}]"
