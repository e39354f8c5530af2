"""A parts list or price list as sheet: every row becomes a listed part or a problem, and nothing is written."""

import dataclasses
import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any

from bomtui.model.base import Base
from bomtui.model.fields import Field, field_table
from bomtui.model.lists import parts_list_columns
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part
from bomtui.storage.field_text import FieldError, read_field, shown
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.tabular.answers import EMPTY, Answers, Question
from bomtui.storage.tabular.header import PRICE_KEYS
from bomtui.storage.tabular.listing import Cell, Listing, check_columns, open_listing
from bomtui.storage.tabular.offers import Offers
from bomtui.storage.tabular.part_prices import RowPrices, read_plain
from bomtui.storage.tabular.record import Mark, Record
from bomtui.storage.tabular.refs_text import read_references
from bomtui.storage.tabular.source_columns import PartVocabulary
from bomtui.storage.tabular.value_text import DIMENSION_OF_LETTERS, Value, read_value
from bomtui.storage.tabular.words import NOT_FITTED_WORDS

_DEFUSE_MARK = "'"
_HYPHENS = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2212", "-"))
_SPOILT = re.compile(r"\d(?:\.\d+)?[Ee]\+?\d+")
_NO = frozenset(("", "no", "n", "false", "0", "nein", "-", "fitted", "placed", "bestückt"))
_DAY = re.compile(r"(?:\d{4}-\d{2}-\d{2}|\d{1,2}\.\d{1,2}\.\d{4}|\d{1,2}/\d{1,2}/\d{4})(?:[T ].*)?")
_REMARK_CELLS = 2
_REMEMBERED = 8192
_NESTED = frozenset(("records", "words", "record"))


class ListedPart(Base, frozen=True):
    """What a row of a parts list says beside the part itself."""

    part: Annotated[str, Field("catalog key")] = ""
    quantity: Annotated[Decimal | None, Field("pieces of the row")] = None
    refs: Annotated[str, Field("references on the board")] = ""
    value: Annotated[str, Field("value as the list writes it")] = ""
    unit_price: Annotated[Decimal | None, Field("price of one piece")] = None
    not_fitted: Annotated[str, Field("whether the row is left unplaced")] = ""
    fitted: Annotated[str, Field("whether the row is placed")] = ""
    symbol: Annotated[str, Field("letter or word for what it is")] = ""
    sku: Annotated[str, Field("number under which somebody offers it")] = ""
    supplier: Annotated[str, Field("who offers it")] = ""
    section: Annotated[str, Field("group of rows")] = ""
    rung: Annotated[int | None, Field("order quantity from which the unit price holds")] = None
    line: Annotated[str, Field("number of the row")] = ""
    modules: Annotated[str, Field("how many modules hold it")] = ""
    need: Annotated[int | None, Field("quantity needed in a year")] = None
    order_base: Annotated[int | None, Field("need with attrition")] = None
    order: Annotated[int | None, Field("order quantity")] = None
    lead_time: Annotated[int | None, Field("from order to delivery")] = None
    line_price: Annotated[Decimal | None, Field("price of the row")] = None
    excess_per_year: Annotated[Decimal | None, Field("money in pieces beyond the need")] = None


_PART_FIELDS = tuple(info for info in field_table(Part) if info.shape not in _NESTED)
_PART_NAMES = {info.key: info.name for info in _PART_FIELDS}
_ONE_LINE = frozenset(("maker", "mpn", "package", "part"))
_COMPUTED = frozenset(
    ("line", "modules", "need", "order_base", "order", "line_price", "excess_per_year", "supplier", "sku", "section")
)  # fmt: skip

PART_HEADERS = PartVocabulary((*field_table(ListedPart), *_PART_FIELDS))
"""The headers of a parts list or price list."""


@dataclasses.dataclass(frozen=True, slots=True)
class PartRow:
    """One row of a parts list.

    Attributes:
        line: Its line.
        key: Catalog key, where the list has it.
        mpn: Maker part number, in the spelling of its first row; empty where the row names none.
        quantity: Pieces; the number of references, or 1, where the list has no column for it.
        refs: References on the board.
        is_fitted: Whether it is placed.
        section: Heading or group that it stands under.
        values: Fields of the part that the row gives, by name.
        params: Numbers of its value cell by dimension, in the unit of the model.
    """

    line: int
    key: str
    mpn: str
    quantity: Decimal
    refs: tuple[str, ...]
    is_fitted: bool
    section: str
    values: dict[str, Any]
    params: dict[str, float]


@dataclasses.dataclass(frozen=True, slots=True)
class PartsResult:
    """What a parts list holds; a dry run: nothing has been written.

    Attributes:
        rows: Its rows in their order.
        problems: Every column and row that was not taken, with its line.
        doubts: What deserves a look, with its line: missing prices, numbers that do not fit, other spellings.
        notices: What was decided in reading.
        questions: What the list leaves open.
        columns: Header and what it was taken for; empty where a column is not taken.
    """

    rows: tuple[PartRow, ...]
    problems: tuple[Problem, ...]
    doubts: tuple[Problem, ...] = ()
    notices: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    columns: tuple[tuple[str, str], ...] = ()


def read_parts(path: Path, answers: Answers = EMPTY) -> PartsResult:
    """Read a parts list or price list from a workbook or from text with separated cells.

    A row with anything in it that cannot be taken is not taken at all. Nothing is raised for any content of the file.
    """
    return _Parts(open_listing(path, PART_HEADERS, answers)).run()


class _Parts:
    """One pass over the rows of a parts list."""

    def __init__(self, listing: Listing) -> None:
        self._listing = listing
        self._doubts: list[Problem] = []
        self._spelling: dict[str, str] = {}
        self._prices: dict[str, tuple[int, Any]] = {}
        self._is_ours = False
        self._read: dict[tuple[str, str, Mark | None], Any] = {}

    def run(self) -> PartsResult:
        """Read the rows below the recognised headers."""
        listing = self._listing
        rows: list[PartRow] = []
        if listing.header_texts and self._is_readable():
            self._is_ours = _written_by_us(listing.header_texts)
            offers = Offers(listing)
            for record in () if offers.is_open else listing.records:
                row = self._row(record, offers)
                if row is not None:
                    rows.append(row)
            offers.say_left_out()
        return PartsResult(
            rows=tuple(rows),
            problems=in_file_order(listing.problems),
            doubts=in_file_order(self._doubts),
            notices=tuple(listing.notices),
            questions=tuple(listing.questions),
            columns=tuple(
                (text, header.name if header else "")
                for text, header in zip(listing.header_texts, listing.headers, strict=True)
            ),
        )

    def _is_readable(self) -> bool:
        """Tell whether the columns give parts at all, and each value once."""
        listing = self._listing
        if not listing.has("mpn") and listing.has("part"):
            # Without a column of its own for the maker's number, a column Part holds that.
            listing.headers = [
                header._replace(key="mpn", info=PART_HEADERS.read("mpn").info)
                if header is not None and header.key == "part"
                else header
                for header in listing.headers
            ]
        if not any(map(listing.has, ("mpn", "refs", "part", "value"))):
            listing.problem(listing.header_line, "expected a column of part numbers or references, found none")
            return False
        return check_columns(listing, (), _COMPUTED)

    def _row(self, record: Record, offers: Offers) -> PartRow | None:
        listing = self._listing
        before = len(listing.problems)
        cells, remark = offers.chosen(record, listing.cells(record))
        if cells is None:
            return None
        by_key = {cell.header.key: cell for cell in cells if not cell.header.entry}
        name = next((by_key[key].text for key in ("mpn", "refs", "part") if key in by_key), "")
        if "refs" in by_key and "mpn" in by_key and by_key["mpn"].mark is not None:
            name = by_key["refs"].text
        if len(listing.problems) == before and self._is_remark(record, cells, name):
            return None
        values: dict[str, Any] = {}
        prices = RowPrices(listing)
        first = self._first_rung(by_key)
        for cell in cells:
            try:
                self._take(cell, values, prices, first)
            except FieldError as error:
                listing.problem(record.line, str(error), shown(cell.header.text), error, name)
        if len(listing.problems) > before:
            return None
        if remark:
            prices.is_missed = False
            self._doubt(record.line, remark, name)
        row = self._built(record, by_key, values, prices, name)
        return row if len(listing.problems) == before else None

    def _is_remark(self, record: Record, cells: Sequence[Cell], name: str) -> bool:
        """Tell a note or sum from a row that lacks its part number; what is left out is said."""
        keys = {cell.header.key for cell in cells}
        is_short = len(cells) <= _REMARK_CELLS and not keys & {"quantity", "refs"}
        is_unnamed = not name and not keys & {"value"}
        if (is_short and (is_unnamed or _is_day(name))) or (self._is_ours and not name):
            texts = ", ".join(cell.text for cell in cells)
            self._listing.notices.append(f"line {record.line}: a row that names no part ({texts})")
            return True
        return False

    def _first_rung(self, by_key: dict[str, Cell]) -> int:
        cell = by_key.get("rung")
        if cell is None or cell.header.info is None:
            return 1
        try:
            return read_field(cell.header.info, cell.text, decimal_mark=cell.decimal_mark) or 1
        except FieldError:
            # It is reported with the row.
            return 1

    def _take(self, cell: Cell, values: dict[str, Any], prices: RowPrices, first: int) -> None:
        key = cell.header.key
        if key in _COMPUTED:
            return
        cell.check_usable()
        if key in PRICE_KEYS:
            prices.take(cell, first)
            return
        if key in {"alternates", "diagnosis", "nets", "drives"} and ";" not in cell.text:
            values[_PART_NAMES[key]] = tuple(cell.text.replace(",", " ").split())
            return
        if cell.header.entry:
            self._side(cell, values)
            return
        values[_PART_NAMES.get(key, key)] = self._plain(cell)

    def _plain(self, cell: Cell) -> Any:  # noqa: ANN401 - a value has the type of its field
        """Return the value of a plain field; what a long list repeats is read once."""
        key, info = cell.header.key, cell.header.info
        if info is not None and info.shape == "text" and key != "currency":
            text = self._text(cell)
            return " ".join(text.split()) if key in _ONE_LINE else text
        known = (key, cell.text, cell.mark)
        value = self._read.get(known)
        if value is None:
            value = read_plain(cell, self._listing)
            if len(self._read) < _REMEMBERED:
                self._read[known] = value
        return value

    def _side(self, cell: Cell, values: dict[str, Any]) -> None:
        """Take one side of a parameter: its smallest, typical or largest value."""
        info = cell.header.info
        if info is None:
            return
        one = dataclasses.replace(info, shape="quantity", optional=True)
        mark = cell.decimal_mark or self._listing.decimal_mark
        value = read_field(one, cell.text, default_unit=cell.header.unit, decimal_mark=mark)
        sides = values.setdefault(info.name, {})
        sides[cell.header.entry] = value

    def _text(self, cell: Cell) -> str:
        """Return the text of a cell; a mark that our own lists put before a formula is taken away again."""
        if self._is_ours and cell.text.startswith(_DEFUSE_MARK):
            return cell.text.removeprefix(_DEFUSE_MARK)
        return cell.text

    def _built(
        self, record: Record, by_key: dict[str, Cell], values: dict[str, Any], prices: RowPrices, name: str
    ) -> PartRow | None:
        """Put a row together from what its cells gave."""
        listing, line = self._listing, record.line
        refs = read_references(values.pop("refs", ""))
        mpn = self._mpn(line, values.pop("mpn", ""))
        is_fitted, mpn = self._fitted(line, mpn, values)
        value = self._value(values, refs.names)
        try:
            quantity = self._quantity(by_key, values, refs.names)
            values |= prices.values(str(values.pop("currency", "")))
            _check_parameters(values)
        except FieldError as error:
            listing.problem(line, str(error), "", error, name)
            return None
        self._look_at(line, name, refs.remark, prices.remarks)
        if values.get("value") and value.remark and "value" in by_key:
            self._doubt(line, f"the value {shown(values['value'])}: {value.remark}", name)
        self._compare(line, mpn, quantity if by_key.get("quantity") else None, refs.names, values)
        self._say_missing(line, mpn, name, prices)
        key = values.pop("part", "")
        section = by_key["section"].text if "section" in by_key else listing.headings.get(line, "")
        own = {key: found for key, found in values.items() if key in Part.__struct_fields__}
        if mpn:
            own["mpn"] = mpn
        return PartRow(
            line=line,
            key=key,
            mpn=mpn,
            quantity=quantity,
            refs=refs.names,
            is_fitted=is_fitted and bool(quantity),
            section=section,
            values=own | ({"rating": values["value"]} if values.get("value") and "rating" not in own else {}),
            params=value.params,
        )

    def _value(self, values: dict[str, Any], refs: tuple[str, ...]) -> Value:
        """Read the value cell; in a list without such a column, what the description says of a part with references."""
        letters = _letters(refs, values.get("symbol", ""))
        if self._listing.has("value"):
            return read_value(values.get("value", ""), letters)
        return read_value(values.get("description", ""), letters) if letters in DIMENSION_OF_LETTERS else Value({})

    def _quantity(self, by_key: dict[str, Cell], values: dict[str, Any], refs: tuple[str, ...]) -> Decimal:
        quantity: Decimal | None = values.pop("quantity", None)
        if quantity is None:
            return Decimal(len(refs) or 1)
        is_whole = quantity == quantity.to_integral_value()
        if not is_whole and values.get("sale_unit", "piece") == "piece":
            raise FieldError(shown(by_key["quantity"].text), "a whole number of pieces")
        return quantity

    def _mpn(self, line: int, mpn: str) -> str:
        """Return a part number in the spelling of the first row that has it."""
        plain = " ".join(unicodedata.normalize("NFC", mpn).translate(_HYPHENS).split())
        if not plain:
            return ""
        if _is_day(plain):
            self._listing.problem(line, f"expected a part number, found the day {shown(plain)}", '"mpn"')
            return ""
        first = self._spelling.setdefault(plain.casefold(), plain)
        if first != mpn:
            self._doubt(
                line,
                f"the part number {shown(mpn)} is taken for {first}, as in an earlier row or without blanks",
                first,
            )
        if _SPOILT.fullmatch(plain):
            self._doubt(line, f"the part number {plain} looks like a number that a spreadsheet has rewritten", plain)
        return first

    def _fitted(self, line: int, mpn: str, values: dict[str, Any]) -> tuple[bool, str]:
        """Tell whether a row is placed; a mark in place of the part number is no part number."""
        said_not = str(values.pop("not_fitted", "")).strip().casefold()
        said_yes = values.pop("fitted", None)
        is_fitted = said_not in _NO and (said_yes is None or str(said_yes).strip().casefold() not in _NO)
        if mpn.casefold() in NOT_FITTED_WORDS:
            self._doubt(line, f"{shown(mpn)} in place of a part number: taken for not fitted", mpn)
            return False, ""
        for key in ("note", "value", "description"):
            text = str(values.get(key, "")).strip().casefold()
            if text in NOT_FITTED_WORDS:
                self._doubt(line, f"{shown(text)} as {key}: taken for not fitted", mpn)
                return False, mpn
        return is_fitted, mpn

    def _look_at(self, line: int, name: str, refs_remark: str, prices: Sequence[str]) -> None:
        if refs_remark:
            self._doubt(line, f"references: {refs_remark}", name)
        for remark in prices:
            self._doubt(line, remark, name)

    def _compare(
        self, line: int, mpn: str, quantity: Decimal | None, refs: tuple[str, ...], values: dict[str, Any]
    ) -> None:
        """Compare a row with its references, and its price with the other rows of its part."""
        if quantity is not None and refs and quantity != len(refs):
            self._doubt(line, f"a quantity of {quantity} with {len(refs)} references", mpn)
        breaks = values.get("breaks")
        if mpn and breaks:
            first, known = self._prices.setdefault(mpn, (line, breaks))
            if known != breaks:
                self._doubt(line, f"{mpn} has another price in line {first}", mpn)

    def _say_missing(self, line: int, mpn: str, name: str, prices: RowPrices) -> None:
        if not mpn and self._listing.has("mpn"):
            self._doubt(line, "the row has no part number", name)
        has_prices = any(
            header is not None and header.key in {"unit_price", "breaks"} for header in self._listing.headers
        )
        if has_prices and not prices.rungs and prices.is_missed:
            found = f" ({prices.missing})" if prices.missing else ""
            self._doubt(line, f"the row has no price{found}; it stays unknown", name)

    def _doubt(self, line: int, message: str, name: str) -> None:
        self._doubts.append(Problem(self._listing.file, message, line, field=name))


def _is_day(text: str) -> bool:
    return _DAY.fullmatch(text) is not None


def _letters(refs: Sequence[str], symbol: str) -> str:
    first = re.match(r"[A-Za-z]+", refs[0]) if refs else None
    return first[0] if first else symbol


def _check_parameters(values: dict[str, Any]) -> None:
    """Make parameters of their sides.

    Raises:
        FieldError: They are not in their order.
    """
    for name, sides in values.items():
        if not isinstance(sides, dict):
            continue
        given = [sides[side] for side in ("min", "typ", "max") if sides.get(side) is not None]
        if given != sorted(given):
            raise FieldError(", ".join(f"{side} {sides[side]}" for side in sides), f"min <= typ <= max of {name}")
        values[name] = Parameter(**sides)


def _written_by_us(headers: Sequence[str]) -> bool:
    """Tell a list that this program wrote by its headers, all of them and in their order."""
    currency = next((header[-4:-1] for header in headers if header.startswith("unit_price [")), "")
    return [column.header for column in parts_list_columns(currency)] == list(headers)
