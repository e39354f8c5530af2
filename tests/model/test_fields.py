"""The field table says of every field what it means and how it is written."""

import pytest

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table, fields_by_key
from bomtui.model.load import Load
from bomtui.model.part import Part, PriceBreak, SupplyNeed
from bomtui.model.proposal import Proposal
from bomtui.model.quantity import DIMENSIONS
from bomtui.model.settings import Rates
from bomtui.model.variant import Item, Module


def _within(record: type[Base]) -> set[type[Base]]:
    """A record type and all that it holds."""
    inner = {info.record for info in field_table(record) if info.record is not None and info.shape != "amount"}
    return {record}.union(*map(_within, inner))


RECORDS = sorted({PriceBreak} | _within(Proposal) | _within(Part), key=lambda record: record.__name__)


def _field(record: type[Base], key: str) -> FieldInfo:
    return fields_by_key(record)[key]


@pytest.mark.parametrize("record", RECORDS)
def test_every_field_is_described(record: type[Base]) -> None:
    """Each field has a sentence for people, a known dimension, and a key of its own."""
    table = field_table(record)
    assert all(info.help for info in table)
    assert {info.dimension for info in table if info.dimension} <= set(DIMENSIONS)
    assert len({info.key for info in table}) == len(table)


@pytest.mark.parametrize("record", RECORDS)
def test_keys_carry_no_unit(record: type[Base]) -> None:
    """The key of a quantity is its name without the unit that its dimension has."""
    for info in field_table(record):
        if info.dimension:
            assert info.name == info.key + DIMENSIONS[info.dimension].suffix


def test_shapes_follow_the_types() -> None:
    """A quantity, a parameter, a quantity per id, a nested record and a choice are told apart."""
    assert _field(Load, "rated_power").shape == "quantity"
    assert _field(Load, "time_share").shape == "quantities"
    assert _field(Load, "drive").choices[:2] == ("HS", "HSP")
    assert _field(Part, "rds_on").shape == "parameter"
    assert _field(Part, "breaks").shape == "breaks"
    assert _field(Part, "supplies").record is SupplyNeed
    assert _field(Item, "quantity").shape == "amount"
    assert _field(Rates, "placement").shape == "money"
    assert _field(Module, "keep_alive").shape == "flag"


def test_optional_and_required() -> None:
    """What may be unknown is optional; what every record must say is required."""
    assert _field(Load, "rated_power").optional
    assert _field(Load, "subsystem").required
    assert not _field(Load, "drive").optional


def test_a_field_without_a_word_is_refused() -> None:
    """A record whose field says nothing of itself cannot be read or written."""

    class Mute(Base, frozen=True):
        current_a: float

    with pytest.raises(TypeError, match="current_a has no Field annotation"):
        field_table(Mute)
