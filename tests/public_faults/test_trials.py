"""Faults that people met in public, each as a tiny trial (our own words and data; no single source).

`faults.csv` names the tests of all of them; here stand those that no other test holds.
"""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from decimal import Decimal
from pathlib import Path

import msgspec
import pytest
from textual import events
from textual.app import App, ComposeResult

from bomtui import units
from bomtui.edit.edits.field import SetField
from bomtui.engine.battery import usable_charge_as
from bomtui.export.csv import csv_bytes
from bomtui.model.money import Proportion
from bomtui.model.part import Part, PriceBreak
from bomtui.model.quantity import display
from bomtui.services.open import open_proposal
from bomtui.services.session import open_session
from bomtui.storage.catalog import open_catalog
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from bomtui.storage.tabular.answers import EMPTY, Answers
from bomtui.storage.tabular.loads import LoadsResult, read_loads
from bomtui.storage.tabular.parts import read_parts
from bomtui.tui.widgets.prompt_line import PlainInput
from tests.edit.small import small

Read = Callable[..., LoadsResult]


@pytest.fixture
def loads(tmp_path: Path) -> Read:
    """Read a load list from its text."""

    def read(text: str, answers: Answers = EMPTY) -> LoadsResult:
        path = tmp_path / "list.csv"
        path.write_bytes(text.encode())
        return read_loads(path, answers)

    return read


def written(folder: Path, name: str) -> Path:
    """The small proposal in a file."""
    path = folder / f"{name}.toml"
    path.write_text(proposal_text(small().proposal), encoding="utf-8")
    parts_path(path).write_text(parts_text(small().parts), encoding="utf-8")
    return path


@pytest.mark.parametrize(("text", "degc"), [("85 °C", 85.0), ("-40 degC", -40.0)])
def test_temperatures_with_their_unit(text: str, degc: float) -> None:
    """A temperature is a point on a scale, and no product of a number and a unit."""
    assert units.parse(text, "temperature") == pytest.approx(degc)


def test_units_keep_their_case() -> None:
    """Milli stays milli wherever it is shown."""
    assert display(0.01624, "power") == "16.24 mW"
    assert units.parse("16.24 mW", "power") == pytest.approx(0.01624)
    assert units.parse("16.24 MW", "power") == pytest.approx(16.24e6)


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        ("99.99", (75, 25), ("74.99", "25.00")),
        ("1.00", (1, 1, 1), ("0.34", "0.33", "0.33")),
        ("100.00", (1, 1, 1), ("33.34", "33.33", "33.33")),
    ],
)
def test_shares_and_lines(total: str, weights: tuple[int, ...], shares: tuple[str, ...]) -> None:
    """Largest remainders: the shares add to the whole, the first of equal ones gets what is left."""
    by = Proportion({f"k{number}": Decimal(weight) for number, weight in enumerate(weights)})
    found = by.largest_remainder(Decimal(total), 2)
    assert tuple(found.values()) == tuple(map(Decimal, shares))
    assert sum(found.values()) == Decimal(total)


def test_charge_of_a_current_over_time() -> None:
    """2 A for 1800 s are 1 Ah: charge is ampere times second throughout."""
    assert usable_charge_as(units.parse("1 Ah", "charge"), 1.0, 0.0, 1.0) == pytest.approx(2 * 1800)
    assert units.parse("1000 mAh", "charge") == units.parse("1 Ah", "charge") == 3600


def test_currents_and_powers_side_by_side(loads: Read) -> None:
    """The unit of each cell says what it is; neither is taken for the other."""
    found = loads("id,subsystem,current,rated power\nL1,E,450 mA,\nL2,E,,450 mW\nL3,E,450 mW,\n").loads
    assert (found["L1"].test_current_a, found["L1"].rated_power_w) == (0.45, None)
    assert (found["L2"].test_current_a, found["L2"].rated_power_w) == (None, 0.45)
    assert "L3" not in found or found["L3"].test_current_a is None


def test_prices_of_a_removed_part_go_with_it(tmp_path: Path) -> None:
    """No orphan is left, however often it is done and taken back."""
    part = Part(kind="fet", mpn="QQ-1", breaks=(PriceBreak(quantity=1, price=Decimal(1)),))
    place = tmp_path / "catalog.sqlite"
    with open_catalog(place) as catalog:
        for _ in range(2):
            catalog.build({"qq-1": part}, "imported")
            catalog.remove({"qq-1": part})
    with closing(sqlite3.connect(place)) as connection:
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        left = "SELECT count(*) FROM price WHERE part_id NOT IN (SELECT id FROM part)"
        assert connection.execute(left).fetchone() == (0,)


class OneLine(App[None]):
    """An app of one line to type in."""

    def compose(self) -> ComposeResult:
        """The line."""
        yield PlainInput()


async def test_wide_letters_in_the_line_to_type_in() -> None:
    """The cursor stands behind what was typed, letters of two columns included."""
    async with OneLine().run_test(size=(60, 5)) as pilot:
        line = pilot.app.query_one(PlainInput)
        await pilot.press(*"VARNHOLT(瓦恩)")
        assert line.value == "VARNHOLT(瓦恩)"
        after_wide = line.cursor_screen_offset
        line.value = "V" * (len("VARNHOLT()") + 4)
        line.cursor_position = len(line.value)
        assert line.cursor_screen_offset == after_wide
        line.value = "VARNHOLT(瓦恩)"
        line.cursor_position = len(line.value)
        await pilot.press("left", "left", "x")
        assert line.value == "VARNHOLT(瓦x恩)"


async def test_all_lines_that_are_pasted_are_kept() -> None:
    """They become one line: what is dropped without a word is missed later."""
    async with OneLine().run_test(size=(60, 5)) as pilot:
        line = pilot.app.query_one(PlainInput)
        line.post_message(events.Paste("R1\nR2\r\nR3\n"))
        await pilot.pause()
        assert line.value == "R1 R2 R3"


def test_undo_stays_in_its_own_proposal(tmp_path: Path) -> None:
    """Open one, change it, open another: there is nothing to undo in the other, and the first is as it was left."""
    first, second = written(tmp_path, "first"), written(tmp_path, "second")
    session = open_session(first, tmp_path / "journals")
    assert session.do(SetField(place="vehicle.volume_per_year", value=50)) is None
    other = open_session(second, tmp_path / "journals")
    assert not other.undo()
    assert other.snapshot.proposal == open_proposal(first).snapshot.proposal
    assert session.snapshot.proposal.vehicle.volume_per_year == 50
    session.discard()
    other.discard()


def test_a_revision_keeps_its_last_zero(tmp_path: Path) -> None:
    """1.10 and 1.1 are two revisions."""
    proposal = small().proposal
    info = msgspec.structs.replace(proposal.proposal, revision="1.10")
    path = tmp_path / "v.toml"
    path.write_text(proposal_text(msgspec.structs.replace(proposal, proposal=info)), encoding="utf-8")
    assert open_proposal(path).snapshot.proposal.proposal.revision == "1.10"


def test_a_list_of_one_column_is_refused(tmp_path: Path) -> None:
    """Told another separator than it has, a list is no list of one column that was read well."""
    path = tmp_path / "list.csv"
    path.write_text("MPN;price [EUR];kind\nQQ-1;1.20;fet\n", encoding="utf-8")
    assert [row.mpn for row in read_parts(path, EMPTY).rows] == ["QQ-1"]
    found = read_parts(path, Answers(separator="comma"))
    assert found.problems
    assert found.rows == ()


def test_a_helper_line_is_skipped_and_never_written(tmp_path: Path) -> None:
    """`sep=;` in front of the headers is read, and no list of ours begins with it."""
    path = tmp_path / "list.csv"
    path.write_text("sep=;\nMPN;price [EUR]\nQQ-1;1.20\n", encoding="utf-8")
    assert [row.mpn for row in read_parts(path, EMPTY).rows] == ["QQ-1"]
    assert csv_bytes([["MPN", "price"], ["QQ-1", "1.20"]]).startswith(b'"MPN"')


@pytest.mark.parametrize("sign", ["u", "\N{MICRO SIGN}", "\N{GREEK SMALL LETTER MU}"])
def test_micro_never_becomes_milli(sign: str) -> None:
    """Read from every sign, and written in ASCII as u."""
    current_a = units.parse(f"100 {sign}A", "current")
    assert current_a == pytest.approx(100e-6)
    assert display(current_a, "current", unicode=False) == "100 uA"


def test_a_charge_is_no_current(loads: Read) -> None:
    """MAh in a column of currents is refused with both dimensions."""
    found = loads("id,subsystem,current\nL1,E,450 mAh\n")
    (problem,) = found.problems
    assert "current" in problem.message
    assert "charge" in problem.message


def test_a_zero_is_no_blank(loads: Read) -> None:
    """A duty of 0 is known, an empty cell is not."""
    found = loads("id,subsystem,time share.RUN [%]\nL1,E,0\nL2,E,\n").loads
    assert dict(found["L1"].time_share_ratio) == {"RUN": 0.0}
    assert dict(found["L2"].time_share_ratio) == {}


@pytest.mark.parametrize("cell", ["-99999", "-1"])
def test_a_magic_number_is_refused(loads: Read, cell: str) -> None:
    """A code for missing is no current; its line and column are said."""
    found = loads(f"id,subsystem,current [A]\nL1,E,{cell}\n")
    assert [(problem.line, problem.column) for problem in found.problems] == [(2, '"current [A]"')]


def test_a_trailing_blank_makes_no_second_part(tmp_path: Path) -> None:
    """Blanks of every kind around a number are none of it."""
    path = tmp_path / "list.csv"
    path.write_text("MPN,kind\nQQ-1 ,fet\n QQ-2\N{NO-BREAK SPACE},fet\n", encoding="utf-8")
    assert [row.mpn for row in read_parts(path, EMPTY).rows] == ["QQ-1", "QQ-2"]


def test_line_ends_are_fixed() -> None:
    """LF everywhere, whatever the machine."""
    assert "\r" not in proposal_text(small().proposal)
    assert "\r" not in parts_text(small().parts)
    assert csv_bytes([["a"], ["b"]]) == b'"a"\n"b"\n'
