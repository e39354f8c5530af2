"""One field as text: every shape reads, writes, and refuses with one sentence."""

import datetime
import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, PinGroup, PriceBreak, SupplyNeed
from bomtui.model.proposal import Assumption, Info
from bomtui.model.settings import Rates, Standby
from bomtui.model.variant import Amount, Device, Item, Placement
from bomtui.model.vehicle import Vehicle, Zone
from bomtui.storage.field_text import (
    FAULTY,
    FieldError,
    is_left_out,
    read_field,
    read_members,
    write_cell,
    write_field,
)
from tests.strategies import values_of

RECORDS: tuple[type[Base], ...] = (
    Assumption,
    Device,
    Info,
    Load,
    Part,
    PinGroup,
    Placement,
    Rates,
    Standby,
    Vehicle,
    Zone,
)


def info(record: type[Base], key: str) -> FieldInfo:
    """The row of the field table for a key."""
    return next(info for info in field_table(record) if info.key == key)


LAWFUL: list[tuple[type[Base], str, object, object, object]] = [
    (Load, "rated_power", "55 W", 55.0, "55 W"),
    (Load, "rated_power", "0.055kW", 55.0, "55 W"),
    (Load, "rated_power", "unknown", None, "unknown"),
    (Load, "resistance", "4mΩ", 0.004, "4 mohm"),
    (Zone, "ambient", "-40 °C", -40.0, "-40 degC"),
    (Load, "contacts", "3", 3, "3"),
    (Load, "contacts", 3, 3, "3"),
    (Vehicle, "years", "unknown", None, "unknown"),
    (Load, "current_regulation", True, True, True),
    (Load, "current_regulation", "yes", True, True),
    (Load, "drive", "HSP", "HSP", "HSP"),
    (Load, "note", "unknown", "unknown", "unknown"),
    (Load, "time_share", {"PARK": "2 %", "RUN": "0 %"}, {"PARK": 0.02, "RUN": 0.0}, {"PARK": "2 %", "RUN": "0 %"}),
    (Load, "time_share", "RUN: 100 %", {"RUN": 1.0}, {"RUN": "100 %"}),
    (Part, "rds_on", {"typ": "4 mohm"}, Parameter(typ=0.004), {"typ": "4 mohm"}),
    (Part, "rds_on", "unknown", Parameter(), "unknown"),
    (Part, "rds_on", "typ: 4 mohm; max: 7 mohm", Parameter(typ=0.004, max=0.007), {"typ": "4 mohm", "max": "7 mohm"}),
    (SupplyNeed, "idle_current", {"typ": "unknown"}, Parameter(), {"typ": "unknown"}),
    (SupplyNeed, "idle_current", "unknown", None, "unknown"),
    (Part, "pin_needs", {"spi": 1, "gpio": "2"}, {"spi": 1, "gpio": 2}, {"gpio": "2", "spi": "1"}),
    (Part, "nets", ["24", "12"], ("24", "12"), ["24", "12"]),
    (Part, "nets", "24; 12", ("24", "12"), ["24", "12"]),
    (
        Part,
        "breaks",
        ["1000: 0.920", "500: 1.2328"],
        (PriceBreak(quantity=500, price=Decimal("1.2328")), PriceBreak(quantity=1000, price=Decimal("0.920"))),
        ["500: 1.2328", "1000: 0.920"],
    ),
    (Rates, "placement", "0.0110 EUR", Money(amount=Decimal("0.0110"), currency="EUR"), "0.0110 EUR"),
    (Rates, "placement", "EUR 3", Money(amount=Decimal(3), currency="EUR"), "3 EUR"),
    (Rates, "one_off", "1 250 000.50 EUR", Money(amount=Decimal("1250000.50"), currency="EUR"), "1250000.50 EUR"),
    (Item, "quantity", "1.8 dm2", Amount(quantity=Decimal("1.8"), unit="dm2"), "1.8 dm2"),
    (Item, "quantity", "1.8dm²", Amount(quantity=Decimal("1.8"), unit="dm2"), "1.8 dm2"),
    (Item, "quantity", "3 pieces", Amount(quantity=Decimal(3)), "3"),
    (Item, "quantity", 3, Amount(quantity=Decimal(3)), "3"),
    (Assumption, "due", datetime.date(2026, 11, 20), datetime.date(2026, 11, 20), datetime.date(2026, 11, 20)),
    (Assumption, "due", "2026-11-20", datetime.date(2026, 11, 20), datetime.date(2026, 11, 20)),
    (Standby, "counted", [], (), []),
    (Part, "hot_rds_on", "190 %", 1.9, "190 %"),
    (Part, "sensitivity", "-24 dBm", -24.0, "-24 dBm"),
]


@pytest.mark.parametrize(("record", "key", "raw", "value", "written"), LAWFUL)
def test_lawful_values(record: type[Base], key: str, raw: object, value: object, written: object) -> None:
    """A value is read from each of its spellings and written in its one canonical form."""
    field = info(record, key)
    assert read_field(field, raw) == value
    assert write_field(field, value) == written


UNLAWFUL: list[tuple[type[Base], str, object, str]] = [
    (Load, "rated_power", "10 V", 'expected a power (W), found a voltage (V) in "10 V"'),
    (Load, "rated_power", "10", 'expected a power (W), found "10", a number without its unit'),
    (Load, "rated_power", 10, 'expected a power (W), found "10", a number without its unit'),
    (Load, "rated_power", True, "expected a power (W), found the flag true"),
    (Load, "rated_power", ["10 W"], "expected a power (W), found a list"),
    (Load, "rated_power", "-5 W", 'expected a power (W), not negative, found "-5 W"'),
    (Load, "test_current", "nan A", "which does not begin with a number"),
    (Load, "test_current", float("nan"), "which does not begin with a number"),
    (Load, "test_current", float("inf"), "which does not begin with a number"),
    (Load, "test_current", "1,234 A", "can mean 1.234 A or 1234 A"),
    (Load, "test_current", "3 mAh", "expected a current (A), found a charge (mAh)"),
    (Load, "sleep_share", "120 %", 'expected a share of 0 % to 100 %, found "120 %"'),
    (Load, "time_share", {"PARK": "-1 %"}, "expected a ratio (%), not negative"),
    (Load, "time_share", "2 %", "expected entries such as NAME: value"),
    (Load, "time_share", {"a.b": "2 %"}, "expected an id of letters, digits"),
    (Load, "contacts", 1.5, "expected a whole number, zero or more, found the number 1.5"),
    (Load, "contacts", "-1", "expected a whole number, zero or more"),
    (Load, "contacts", -1, "expected a whole number, zero or more, found the number -1"),
    (Load, "contacts", "three", "which does not begin with a number"),
    (Load, "contacts", "unknown", "which does not begin with a number"),
    (Load, "drive", "hsp", 'found "hsp" (did you mean HSP?)'),
    (Load, "drive", 3, "expected one of HS, HSP,"),
    (Load, "note", 12, "expected text in quotes, found the number 12"),
    (Load, "current_regulation", "perhaps", 'expected true or false, found "perhaps"'),
    (Part, "rds_on", "4 mohm", "for each of min, typ, max, as rds_on.typ or rds_on.max"),
    (Part, "rds_on", {"typical": "4 mohm"}, "expected one of the keys min, typ, max, found the key typical"),
    (
        Part,
        "rds_on",
        {"typ": "9 mohm", "max": "7 mohm"},
        'expected min <= typ <= max, found typ "9 mohm", max "7 mohm"',
    ),
    (Part, "nets", ["24", "13"], 'expected one of 12, 24, 48, found "13"'),
    (Part, "nets", [24], "expected only texts in quotes in the list, found the number 24"),
    (Part, "breaks", ["0: 1.2"], 'expected a price rung from at least 1 piece, found "0: 1.2"'),
    (Part, "breaks", ["10: 2.70", "10: 2.65"], 'expected one price from 10 pieces, found "10: 2.65"'),
    (Part, "breaks", ["10: -2"], "not negative"),
    (Part, "breaks", ["1.20"], "expected price rungs such as"),
    (Part, "currency", "euro", "expected a currency (three capital letters of ISO 4217)"),
    (Rates, "placement", "0.011", "expected an amount with its currency, such as 0.011 EUR"),
    (Rates, "placement", 0.011, "expected an amount with its currency, such as 0.011 EUR"),
    (Rates, "placement", "EUR", "expected an amount with its currency, such as 0.011 EUR"),
    (Rates, "placement", "1e500 EUR", "expected a number of at most 24 characters"),
    (Item, "quantity", "1.8 kg", "expected a quantity such as 3 or 1.8 dm2"),
    (Item, "quantity", 1.8, "expected a quantity such as 3 or 1.8 dm2"),
    (Assumption, "due", "20.11.2026", "expected a date such as 2026-11-20"),
    (Assumption, "due", "2026-02-30", "expected a date such as 2026-11-20"),
    (Assumption, "due", datetime.datetime(2026, 11, 20, 1, 2), "expected a date such as 2026-11-20"),  # noqa: DTZ001
]


@pytest.mark.parametrize(("record", "key", "raw", "sentence"), UNLAWFUL)
def test_unlawful_values(record: type[Base], key: str, raw: object, sentence: str) -> None:
    """A value of another kind is refused in one line that says what is expected and what was found."""
    with pytest.raises(FieldError) as caught:
        read_field(info(record, key), raw)
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.found
    assert caught.value.expected


def test_every_faulty_entry_is_reported_and_the_others_are_kept() -> None:
    """Two faulty entries of a table give two faults with their keys, and the third entry is there."""
    faults: list[tuple[tuple[str, ...], str]] = []
    raw = {"PARK": "2 A", "RUN": "30 %", "NIGHT": 4}
    value = read_members(info(Load, "time_share"), raw, lambda where, error: faults.append((where, str(error))))
    assert value == {"RUN": 0.3}
    assert [where for where, _ in faults] == [("PARK",), ("NIGHT",)]


def test_a_ladder_with_a_faulty_rung_is_not_taken_at_all() -> None:
    """A missing rung would give another price, so the whole ladder is unknown."""
    faults: list[FieldError] = []
    value = read_members(info(Part, "breaks"), ["1: 2.00", "1000: x"], lambda _, error: faults.append(error))
    assert value is FAULTY
    assert len(faults) == 1


def test_a_columns_unit_and_decimal_mark_are_used() -> None:
    """A bare number takes the unit of its column, and its comma means what the file uses it for."""
    field = info(Load, "peak_current")
    assert read_field(field, "4,5", default_unit="A", decimal_mark=",") == 4.5
    assert read_field(field, "450 mA", default_unit="A") == 0.45
    assert read_field(info(Load, "sleep_share"), "0.3", default_unit="1") == 0.3


@pytest.mark.slow
@settings(max_examples=200)
@given(st.data())
def test_what_is_written_reads_back(data: st.DataObject) -> None:
    """The canonical form of any value of any field reads back to the same value, from TOML and from a cell."""
    field = data.draw(
        st.sampled_from(
            [row for record in RECORDS for row in field_table(record) if row.shape not in {"record", "records"}]
        )
    )
    value: Any = data.draw(values_of(field))
    assert read_field(field, write_field(field, value)) == value
    if field.shape not in {"text", "texts", "words"}:
        assert read_field(field, write_cell(field, value)) == value


@given(st.sampled_from(["test_current", "rated_power", "inductance", "peak_time"]), st.floats(0, 1e300))
def test_any_float_survives(key: str, value: float) -> None:
    """Every finite float that is not negative is written so that it reads back bit by bit."""
    field = info(Load, key)
    assert read_field(field, write_field(field, value)) == value


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_nothing_but_numbers_is_written(value: float) -> None:
    """NaN and infinity are refused at the writer too."""
    with pytest.raises(ValueError, match="finite"):
        write_field(info(Load, "test_current"), value)


@given(st.one_of(st.text(max_size=12), st.integers(), st.floats(), st.booleans(), st.lists(st.text(max_size=3))))
def test_any_raw_value_gives_a_value_or_one_sentence(raw: object) -> None:
    """No raw value makes any field fail in another way than by its own error."""
    for record in RECORDS:
        for field in field_table(record):
            if field.shape not in {"record", "records"}:
                faults: list[str] = []
                value = read_members(field, raw, lambda _, error, faults=faults: faults.append(str(error)))  # type: ignore[misc]
                assert value is not FAULTY or faults
                assert not any("\n" in fault for fault in faults)


def test_a_cell_refuses_an_entry_that_would_read_back_as_two() -> None:
    """The separator of entries inside an entry is refused instead of written."""
    with pytest.raises(ValueError, match="';'"):
        write_cell(info(Part, "diagnosis"), ("a;b",))


def test_defaults_are_left_out_and_unknown_is_not_zero() -> None:
    """An absent key means the default; zero is another value than unknown and is written."""
    assert is_left_out(info(Load, "test_current"), None)
    assert not is_left_out(info(Load, "test_current"), 0.0)
    assert not is_left_out(info(Load, "subsystem"), "")
    assert not is_left_out(info(Standby, "counted"), ())
