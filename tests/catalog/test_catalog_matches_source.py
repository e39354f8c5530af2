"""Every published value of the demo tables stands in the catalog, and everything else there is named as invented."""

import csv
from collections import Counter
from collections.abc import Iterable
from typing import Any

import pytest

from bomtui.model.base import Base
from bomtui.model.fields import fields_by_key
from bomtui.model.parameter import Parameter
from bomtui.model.part import PIN_FUNCTIONS, Part
from bomtui.storage.shipped import read_shipped_catalog
from tests.architecture.scan import REPO
from tests.catalog.published_values import SOURCE, TABLES, Claim, quantity, rows

PARTS, PROBLEMS = read_shipped_catalog()

NOT_OF_THE_PART = {"key", "invented"}

BEYOND = {"hs12-1x4", "amp-2x50", "mcu-disp", "panel-5", "gfx-1"}
"""Parts that no published table has: the subject bench needs them, and all that stands of them is invented."""


def field_value(part: Part, field: str) -> object:
    """Value of a part under a column name of the catalog; None where the part does not have it."""
    value: Any = part
    for step in field.split("."):
        if isinstance(value, Parameter):
            value = getattr(value, step)
        elif isinstance(value, Base):
            value = getattr(value, fields_by_key(type(value))[step].name)
        else:
            value = value.get(step)
        if value is None:
            return None
    if field == "breaks":
        return tuple((rung.quantity, rung.price) for rung in part.breaks)
    return value


def catalog_columns() -> dict[str, set[str]]:
    """Per part the columns of the catalog that say something of it, without units."""
    found: dict[str, set[str]] = {}
    for path in sorted((REPO / "catalog").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                found[row["key"]] = {name.split(" ")[0] for name, cell in row.items() if cell} - NOT_OF_THE_PART
    return found


def names_it(invented: Iterable[str], column: str) -> bool:
    """Tell whether one of the invented names is a column, or the first word of it."""
    return any(column == name or column.startswith(f"{name}.") for name in invented)


def claims() -> dict[str, list[Claim]]:
    """All claims of all tables per part."""
    found: dict[str, list[Claim]] = {}
    for table, read in TABLES.items():
        for row in rows(table):
            found.setdefault(row["key"], []).extend(read(row))
    return found


def test_the_catalog_reads_without_a_problem() -> None:
    """All 129 parts are read, and no cell is refused."""
    assert PROBLEMS == ()
    assert len(PARTS) == 129


def test_every_table_is_compared() -> None:
    """No published table is left out."""
    assert {path.name for path in SOURCE.glob("*.csv")} == set(TABLES)


@pytest.mark.parametrize("table", TABLES)
def test_every_published_value_stands_in_the_catalog(table: str) -> None:
    """Each column of each row is compared, and the catalog holds its value to the last digit."""
    wrong = []
    for row in rows(table):
        part = PARTS[row["key"]]
        made = list(TABLES[table](row))
        assert {claim.column for claim in made} == set(row) - {"key"}
        for claim in made:
            found = field_value(part, claim.field)
            if found != claim.value and not (claim.value is None and found in ("", ())):
                wrong.append((row["key"], claim, found))
    assert wrong == []


def test_the_catalog_has_the_published_parts_and_those_of_the_bench() -> None:
    """The keys are those of the published list and of the bench, and every published part has its prices."""
    published = [row["key"] for row in rows("cat_parts.csv")]
    assert sorted(PARTS) == sorted([*published, *BEYOND])
    assert sorted(published) == sorted(row["key"] for row in rows("cat_prices.csv"))


def test_part_numbers_are_kept_letter_by_letter() -> None:
    """What a spreadsheet would turn into a number or a date is text, and no two parts share a number."""
    numbers = {key: part.mpn for key, part in PARTS.items()}
    assert numbers["mcu-24"] == "0710037"
    assert numbers["hs12-1x2"] == "31E02"
    assert numbers["mcu-cluster"] == "4400120093300017"
    assert numbers["temp-ntc"] == "1-01-14"
    assert len(set(numbers.values())) == len(numbers)


def test_what_is_not_published_is_named_as_invented() -> None:
    """A value of the catalog is a published one or stands in `invented`, never both and never neither."""
    published = {key: {claim.field for claim in made if claim.value is not None} for key, made in claims().items()}
    silent = []
    twice = []
    for key, columns in catalog_columns().items():
        invented = PARTS[key].invented
        for column in columns:
            known, named = column in published.get(key, set()), names_it(invented, column)
            silent += [(key, column)] if not (known or named) else []
            twice += [(key, column)] if known and named else []
    assert silent == []
    assert twice == []


def test_every_invented_name_names_something() -> None:
    """A name in `invented` is a column that says something of the part, or its first word; none stands twice."""
    columns = catalog_columns()
    for key, part in PARTS.items():
        for name in part.invented:
            assert any(names_it((name,), column) for column in columns[key]), (key, name)
        assert len(set(part.invented)) == len(part.invented), key


def test_no_parameter_rests_on_one_value_where_two_are_needed() -> None:
    """On-resistance, consumed currents, efficiency and current limit have two different ends, one of them invented."""
    needed = ("rds_on", "standby_current", "efficiency", "current_limit")
    for key, part in PARTS.items():
        parameters = {name: field_value(part, name) for name in needed}
        for supply, need in part.supplies.items():
            parameters[f"supplies.{supply}.current"] = need.current_a
            parameters[f"supplies.{supply}.idle_current"] = need.idle_current_a
        for name, parameter in parameters.items():
            if not isinstance(parameter, Parameter) or not parameter.given:
                continue
            low, high = parameter.lower, parameter.upper
            assert parameter.given == 2, (key, name)
            assert low is not None, (key, name)
            assert high is not None, (key, name)
            assert low < high, (key, name)
            ends = [side for side in ("min", "typ", "max") if names_it(part.invented, f"{name}.{side}")]
            assert ends, (key, name)


def test_split_supplies_add_to_the_published_current() -> None:
    """Where one published current is split over two inputs, they add to it."""
    split = [row for row in rows("cat_audio_display_memory.csv") if row["v_supply_V"] == "1.8/3.3"]
    assert len(split) == 2
    for row in split:
        part = PARTS[row["key"]]
        typical = [need.current_a.typ for need in part.supplies.values()]
        assert sum(current for current in typical if current) == pytest.approx(quantity(row["i_idle_mA"], "1e-3"))


def test_main_values_without_a_field_stand_in_the_description() -> None:
    """What a passive or connector is, where no field holds it, is said in its description."""
    words = {row["key"]: row["main_value"] for row in rows("cat_passive_mech.csv")}
    assert words["xtal-20"] in PARTS["xtal-20"].description
    assert words["conn-cx"] in PARTS["conn-cx"].description
    assert words["misc-100"] in PARTS["misc-100"].description


def test_pin_groups_have_the_published_totals() -> None:
    """General pins together are those of the controller, and as many of them can do each function as published."""
    for row in rows("cat_controller.csv"):
        own = PARTS[row["key"]].pin_groups
        groups = [group for group in own.values() if group.functions != ("debug",)]
        assert len(groups) == len(own) - 1, row["key"]
        able: Counter[str] = Counter()
        for group in groups:
            assert group.pins > 0, row["key"]
            assert "gpio" in group.functions, row["key"]
            able.update(dict.fromkeys(group.functions, group.pins))
        published = {function: int(row[function]) for function in ("gpio", "pwm", "adc", "capture")}
        published |= {"can": 2 * int(row["canfd"]), "lin": 2 * int(row["lin"]), "spi": 3 * int(row["spi"])}
        assert {function: able[function] for function in published} == published, row["key"]
        assert able["gpio"] == sum(group.pins for group in groups), row["key"]
        assert able["eth"] >= 14 * int(row["eth"]), row["key"]
        assert (able["eth"] > 0) == (int(row["eth"]) > 0), row["key"]


def test_pin_needs_agree_with_the_plain_count_of_drivers() -> None:
    """A driver's needs by capability add to its published pins; a serial one has one select among them."""
    drivers = [part for part in PARTS.values() if part.analog_pins is not None]
    assert len(drivers) == 36
    for part in drivers:
        assert part.control_pins is not None
        needs = dict(part.pin_needs)
        assert needs.pop("adc", 0) == part.analog_pins, part.mpn
        assert sum(needs.values()) == part.control_pins, part.mpn
        assert needs.get("gpio", 0) == int(part.serial_bus), part.mpn


def test_every_need_is_a_pin_function_or_an_input_of_a_driver() -> None:
    """Needs of the matching name functions that a controller can have, or `channel`."""
    names = {name for part in PARTS.values() for name in part.pin_needs}
    assert names - set(PIN_FUNCTIONS) == {"channel"}


def test_alternates_exist_and_do_not_name_the_part_itself() -> None:
    """What can replace a part is a part of the catalog, and another one of its kind."""
    for key, part in PARTS.items():
        for alternate in part.alternates:
            assert alternate != key
            assert PARTS[alternate].kind == part.kind


def test_price_rungs_fall_and_begin_at_the_smallest_order() -> None:
    """More pieces never cost more each, and the smallest order has a price."""
    for key, part in PARTS.items():
        prices = [rung.price for rung in part.breaks]
        assert prices == sorted(prices, reverse=True), key
        assert part.moq is not None, key
        assert part.breaks[0].quantity <= part.moq, key
