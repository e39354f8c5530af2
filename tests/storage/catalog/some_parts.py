"""Generated parts and keys for the tests of the catalog."""

import datetime
import typing
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, PriceBreak

keys = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}", fullmatch=True)
_numbers = st.floats(allow_nan=False, allow_infinity=False)
_texts = st.text(max_size=12)


def _parameters(_: FieldInfo) -> st.SearchStrategy[Any]:
    maybe = st.none() | _numbers
    return st.builds(Parameter, min=maybe, typ=maybe, max=maybe)


def _breaks(_: FieldInfo) -> st.SearchStrategy[Any]:
    prices = st.decimals(min_value=0, max_value=Decimal(10) ** 6, places=7)
    rungs = st.builds(PriceBreak, quantity=st.integers(1, 10**9), price=prices)
    return st.lists(rungs, max_size=4, unique_by=lambda rung: rung.quantity).map(tuple)


def _texts_of(info: FieldInfo) -> st.SearchStrategy[Any]:
    words = st.sampled_from(info.choices) if info.choices else _texts
    return st.lists(words, max_size=3).map(tuple)


def _records(info: FieldInfo) -> st.SearchStrategy[Any]:
    assert info.record is not None
    return st.dictionaries(_texts, records(info.record), max_size=2)


_STRATEGIES: dict[str, typing.Callable[[FieldInfo], st.SearchStrategy[Any]]] = {
    "quantity": lambda _: _numbers,
    "parameter": _parameters,
    "count": lambda _: st.integers(-(2**63) + 1, 2**63 - 1),
    "flag": lambda _: st.booleans(),
    "choice": lambda info: st.sampled_from(info.choices),
    "text": lambda _: _texts,
    "date": lambda _: st.dates(datetime.date(1990, 1, 1)),
    "texts": _texts_of,
    "breaks": _breaks,
    "words": lambda _: st.dictionaries(_texts, st.integers(0, 99), max_size=3),
    "records": _records,
}


def records(record: type[Base]) -> st.SearchStrategy[Any]:
    """Records of a type with any lawful content, most optional fields absent."""
    required: dict[str, st.SearchStrategy[Any]] = {}
    optional: dict[str, st.SearchStrategy[Any]] = {}
    for info in field_table(record):
        values = _STRATEGIES[info.shape](info)
        if info.optional:
            values = st.none() | values
        (required if info.required else optional)[info.name] = values
    return st.fixed_dictionaries(required, optional=optional).map(lambda values: record(**values))


parts: st.SearchStrategy[Part] = records(Part)
