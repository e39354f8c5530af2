"""The catalog keeps parts exactly, with their origin, and finds them."""

import tempfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from bomtui.model.part import Part, PriceBreak
from bomtui.storage.catalog import BuildReport, Catalog, CatalogError, Row, open_catalog
from bomtui.storage.catalog.filters import Mark
from bomtui.storage.catalog.rows import fold, normal_mpn, search_text
from bomtui.storage.catalog.search import terms_of
from bomtui.storage.catalog.tables import FILTERS, PART, PRICE
from bomtui.storage.shipped import read_shipped_catalog
from tests.storage.catalog import some_parts

SHIPPED, _ = read_shipped_catalog()
SWITCH = Part(kind="high_side", mpn="QX50055-1TM", maker="Somebody", description="one switch")


@pytest.fixture(scope="module")
def shipped() -> Iterator[Catalog]:
    """A catalog with the shipped parts, read only by the tests of this module."""
    with tempfile.TemporaryDirectory() as folder, open_catalog(Path(folder) / "catalog.db") as catalog:
        yield catalog


@pytest.fixture
def catalog(tmp_path: Path) -> Iterator[Catalog]:
    """An empty catalog."""
    with Catalog(tmp_path / "catalog.db") as made:
        yield made


def found(catalog: Catalog, text: str, kind: str | None = None) -> list[str]:
    """Keys that a search text finds."""
    return [row.key for row in catalog.find(text, kind, limit=1000).rows]


def test_first_use_loads_the_shipped_parts(shipped: Catalog) -> None:
    """A new catalog holds all shipped parts, says so, and marks each as shipped."""
    assert shipped.shipped == BuildReport(added=129)
    assert shipped.count() == 129
    assert shipped.count("controller") == 10
    assert {shipped.origin_of(key) for key in SHIPPED} == {"shipped"}


def test_all_shipped_parts_come_back_as_they_were(shipped: Catalog) -> None:
    """Part, database, part: equal for each of the 129, in the order asked for."""
    backwards = list(reversed(SHIPPED))
    there = shipped.get_many(backwards)
    assert list(there) == backwards
    assert there == SHIPPED


def test_what_is_not_there_is_none(shipped: Catalog) -> None:
    """An unknown key has no part and no origin, and is left out of many."""
    assert shipped.get("no-such-part") is None
    assert shipped.get("HS12-1X2") is None
    assert shipped.origin_of("no-such-part") is None
    assert list(shipped.get_many(("no-such-part", "hs12-1x2"))) == ["hs12-1x2"]


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(key=some_parts.keys, part=some_parts.parts)
def test_any_part_comes_back_as_it_was(catalog: Catalog, key: str, part: Part) -> None:
    """A part with any lawful content is read back equal, whatever stood under its key before."""
    folded = {row.key.casefold(): row.key for row in catalog.find(limit=1000).rows}
    key = folded.get(key.casefold(), key)
    catalog.build({key: part}, "imported")
    assert catalog.get(key) == part
    assert catalog.origin_of(key) == "imported"


def test_prices_keep_the_digits_of_the_quotation(catalog: Catalog) -> None:
    """A unit price comes back as quoted, and stands in the price table in whole micro-units, half up."""
    rungs = (PriceBreak(quantity=1, price=Decimal("1.6200")), PriceBreak(quantity=500, price=Decimal("0.0000125")))
    catalog.build({"P1": msgspec.structs.replace(SWITCH, breaks=rungs, currency="EUR")}, "imported")
    part = catalog.get("P1")
    assert part is not None
    assert [str(rung.price) for rung in part.breaks] == ["1.6200", "0.0000125"]
    with catalog._database.reading() as connection:
        rows = connection.execute(select(PRICE.c.quantity, PRICE.c.micro, PRICE.c.currency)).all()
    assert [tuple(row) for row in rows] == [(1, 1_620_000, "EUR"), (500, 13, "EUR")]


def test_filter_columns_hold_what_the_parts_hold(shipped: Catalog) -> None:
    """Each typed column is the field it is named after, empty where that is unknown, and each is used."""
    used = set()
    with shipped._database.reading() as connection:
        for row in connection.execute(select(PART)).mappings():
            part = SHIPPED[row["key"]]
            for column, (field, side) in FILTERS.items():
                value = getattr(part, field)
                assert row[column] == (getattr(value, side) if side else value)
                used |= {column} if row[column] is not None else set()
    assert used == set(FILTERS)


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("31E02", ["hs12-1x2"]),
        ("31-e 02", ["hs12-1x2"]),
        ("0710037", ["mcu-24"]),
        ("071 0037", ["mcu-24"]),
        ("1-01-14", ["temp-ntc"]),
        ("10114", ["temp-ntc"]),
        ("TILT-", ["tilt-2"]),
        ("lindmarsh 10.3", ["panel-10"]),
        ("multi-core zone", ["mcu-zone"]),
        ("suppressor 24 v", ["sup-24"]),
        ("low side relay", ["ls-8x700"]),
        ("no such thing", []),
    ],
)
def test_text_finds_parts_by_fragments(shipped: Catalog, text: str, keys: list[str]) -> None:
    """Words are found as fragments in any order and case, part numbers without regard to their separators."""
    assert found(shipped, text) == keys


@pytest.mark.parametrize("text", ["x2", "7", "5 V", "m", "-1"])
def test_one_and_two_characters_are_found_like_longer_ones(shipped: Catalog, text: str) -> None:
    """Terms too short for the index of fragments are looked for as well: parts that hold all of them, no others."""
    expected = [
        key for key, part in SHIPPED.items() if all(term in search_text(key, part) for term in text.casefold().split())
    ]
    assert expected
    assert found(shipped, text) == expected


def test_a_kind_narrows_a_search(shipped: Catalog) -> None:
    """Only parts of the kind are found, with a text and without one."""
    assert found(shipped, "", "fet") == [key for key, part in SHIPPED.items() if part.kind == "fet"]
    assert found(shipped, "40 V", "fet") == ["fet40-1", "fet40-3"]
    assert found(shipped, "40 V", "no such kind") == []


def test_a_row_shows_what_the_part_says(shipped: Catalog) -> None:
    """The light row carries the part's own words and its origin."""
    (row,) = shipped.find("panel-10").rows
    assert row == Row(
        key="panel-10",
        kind="display",
        maker="Lindmarsh Imaging",
        mpn="4400120093308121",
        description="10.3 inch colour panel 1280x480",
        package="MOD",
        grade="G3",
        life_cycle="active",
        origin="shipped",
    )


@pytest.mark.parametrize(("text", "kind"), [("", None), ("smart switch", None), ("v", None), ("", "high_side")])
@pytest.mark.parametrize("limit", [1, 7, 1000])
def test_pages_together_are_the_whole_answer(shipped: Catalog, text: str, kind: str | None, limit: int) -> None:
    """Page after page gives every row once, in one order, and the last page says that it is the last."""
    keys: list[str] = []
    after: Mark | None = None
    while True:
        page = shipped.find(text, kind, limit=limit, after=after)
        assert len(page.rows) <= limit
        keys += [row.key for row in page.rows]
        after = page.after
        if after is None:
            break
        assert len(page.rows) == limit
    assert keys == found(shipped, text, kind)
    assert keys


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(max_size=300) | st.text(alphabet="\"*:-^(){}[]+~'%_ANDORNET \t\n\0\ud800ß日", max_size=40))
@example("a " * 200)
@example('" OR "')
@example("NEAR(a b, 3)")
@example("\0\ud800")
@example("search_text : x")
def test_any_search_text_gives_an_answer(shipped: Catalog, text: str) -> None:
    """Whatever is typed or pasted, the search answers, and each part it gives holds every word or the number."""
    page = shipped.find(text, limit=200)
    assert page.after is None
    number = fold(normal_mpn(text[:200]))
    for row in page.rows:
        content = search_text(row.key, SHIPPED[row.key])
        assert all(term in content for term in terms_of(text)) or (len(number) > 2 and number in content)


@given(cut=st.integers(0, 20), length=st.integers(1, 20), place=st.integers(0, 123))
def test_every_fragment_of_a_part_number_finds_the_part(shipped: Catalog, cut: int, length: int, place: int) -> None:
    """Any piece of a part number, however short, is among the parts it finds."""
    key = list(SHIPPED)[place]
    piece = SHIPPED[key].mpn[cut : cut + length]
    assert not piece or key in found(shipped, piece)


def test_parts_in_other_scripts_are_found(catalog: Catalog) -> None:
    """A search folds capitals of every script, and finds single signs."""
    catalog.build({"P1": msgspec.structs.replace(SWITCH, description="Лампа 電球 Straße İ")}, "imported")
    for text in ("ЛАМПА", "лам", "電球", "電", "STRASSE", "straße", "İ"):
        assert found(catalog, text) == ["P1"], text


def test_a_replaced_part_is_found_by_its_new_words_only(catalog: Catalog) -> None:
    """The text index follows the parts."""
    catalog.build({"P1": SWITCH}, "imported")
    catalog.build({"P1": msgspec.structs.replace(SWITCH, description="two relays")}, "edited")
    assert found(catalog, "relays") == ["P1"]
    assert found(catalog, "one switch") == []
    catalog.update_shipped({}, "empty")
    assert found(catalog, "relays") == ["P1"]


def test_an_upgrade_replaces_shipped_rows_only(catalog: Catalog) -> None:
    """Another shipped catalog changes shipped parts only; imported and edited ones stay, and it says how many."""
    old = {name: msgspec.structs.replace(SWITCH, mpn=name) for name in ("A", "B", "C", "D", "E")}
    assert catalog.update_shipped(old, "old") == BuildReport(added=5)
    imported = msgspec.structs.replace(SWITCH, description="from the customer")
    edited = msgspec.structs.replace(SWITCH, description="by hand")
    assert catalog.build({"B": imported, "X": imported}, "imported", "list.csv") == BuildReport(added=1, replaced=1)
    assert catalog.build({"C": edited}, "edited") == BuildReport(replaced=1)
    new = {name: msgspec.structs.replace(SWITCH, mpn=name, description="better") for name in ("A", "B", "C", "F")}
    new["D"] = old["D"]
    report = catalog.update_shipped(new, "new")
    assert report == BuildReport(added=1, replaced=1, unchanged=1, kept=2, removed=1)
    assert catalog.get_many("ABCDEFX") == {
        "A": new["A"], "B": imported, "C": edited, "D": old["D"], "F": new["F"], "X": imported,
    }  # fmt: skip
    origins = {key: catalog.origin_of(key) for key in "ABCDEFX"}
    assert origins == {
        "A": "shipped", "B": "imported", "C": "edited", "D": "shipped", "E": None, "F": "shipped", "X": "imported",
    }  # fmt: skip
    assert found(catalog, "better") == ["A", "F"]


def test_opening_again_loads_nothing_until_the_shipped_content_differs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The shipped parts are read on first use and after an upgrade of the package, not in between."""
    path = tmp_path / "catalog.db"
    with open_catalog(path) as first:
        first.build({"hs12-1x2": SWITCH}, "edited")
    with open_catalog(path) as again:
        assert again.shipped is None
    fewer = {key: part for key, part in SHIPPED.items() if part.kind == "high_side"}
    monkeypatch.setattr("bomtui.storage.catalog.catalog.shipped_catalog_hash", lambda: "another")
    monkeypatch.setattr("bomtui.storage.catalog.catalog.read_shipped_catalog", lambda: (fewer, ()))
    with open_catalog(path) as upgraded:
        assert upgraded.shipped == BuildReport(unchanged=13, kept=1, removed=115)
        assert upgraded.get("hs12-1x2") == SWITCH
        assert upgraded.count() == 14
    with open_catalog(path) as again:
        assert again.shipped is None


def test_parts_are_written_all_or_none(catalog: Catalog) -> None:
    """A part that cannot be kept leaves the catalog as it was."""
    many = {f"P{number}": SWITCH for number in range(1200)}
    catalog.build(many, "imported")
    wrong = {"P1": msgspec.structs.replace(SWITCH, mpn="new"), "P2": msgspec.structs.replace(SWITCH, channels=2**63)}
    with pytest.raises(CatalogError, match="part P2 cannot be kept: its channels is too large a number"):
        catalog.build(wrong, "imported")
    assert catalog.get_many(many) == many
    assert catalog.count() == 1200


@pytest.mark.parametrize(
    ("parts", "origin", "sentence"),
    [
        ({"a b": SWITCH}, "imported", '"a b" is no key of a part'),
        ({"": SWITCH}, "imported", '"" is no key of a part'),
        ({"a": SWITCH, "A": SWITCH}, "imported", "part A differs only in capital letters from part a"),
        ({"a": SWITCH}, "guessed", 'a part is shipped, imported, edited, not "guessed"'),
        (
            {"a": msgspec.structs.replace(SWITCH, breaks=(PriceBreak(quantity=5, price=Decimal(1)),) * 2)},
            "imported",
            "part a has two prices from the same quantity",
        ),
        (
            {"a": msgspec.structs.replace(SWITCH, breaks=(PriceBreak(quantity=5, price=Decimal("1e14")),))},
            "imported",
            "part a cannot be kept: its price is too large a number",
        ),
    ],
)
def test_what_cannot_be_kept_is_refused_in_one_sentence(
    catalog: Catalog, parts: dict[str, Part], origin: str, sentence: str
) -> None:
    """A key that no proposal can name, a doubtful price or an unknown origin is named, and nothing is written."""
    with pytest.raises(CatalogError) as caught:
        catalog.build(parts, origin)
    assert str(caught.value).startswith(sentence)
    assert catalog.count() == 0


def test_keys_that_differ_in_capitals_only_are_told_apart_from_those_there(catalog: Catalog) -> None:
    """A proposal cannot tell such keys apart, so the second one is refused."""
    catalog.build({"Abc": SWITCH}, "imported")
    with pytest.raises(CatalogError, match="part aBC differs only in capital letters from part Abc"):
        catalog.build({"aBC": SWITCH}, "imported")
