"""Lists of which every row sets something that is there already: placements, wire runs between zones, quantities."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from msgspec import structs

from bomtui.model.base import Base
from bomtui.model.fields import Field, field_table
from bomtui.model.variant import JOINS, Amount
from bomtui.storage.field_text import FieldError, read_field, shown
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.tabular.answers import IGNORE, Answers, Question
from bomtui.storage.tabular.header import Vocabulary
from bomtui.storage.tabular.listing import Listing, check_columns, open_listing
from bomtui.storage.tabular.record import Record


class PlacementRow(Base, frozen=True):
    """Where a load is served."""

    load: Annotated[str, Field("id of the load", refers_to="load")]
    on: Annotated[tuple[str, ...], Field("channels MODULE.REF.CHANNEL, or only the module")]
    joined: Annotated[str | None, Field("how channels or loads are joined", choices=JOINS)] = None


class DistanceRow(Base, frozen=True):
    """The wire run between two zones."""

    zone: Annotated[str, Field("the one zone", refers_to="zone")]
    to: Annotated[str, Field("the other zone", refers_to="zone")]
    distance_m: Annotated[float, Field("wire run between them", "length")]


class QuantityRow(Base, frozen=True):
    """How much of an item a module holds."""

    module: Annotated[str, Field("id of the module", refers_to="module")]
    part: Annotated[str, Field("catalog key of the item", refers_to="part")]
    quantity: Annotated[Amount, Field("quantity in the sale unit")]


WORDS: Mapping[type[Base], Mapping[str, str]] = {
    PlacementRow: {"load": "id|last|verbraucher", "on": "channel|channels|address|kanal|kanäle|placed on"},
    DistanceRow: {"zone": "from|von", "to": "other zone|nach", "distance": "length|run|wire run|länge|abstand"},
    QuantityRow: {"module": "box|modul", "part": "key|item|teil", "quantity": "qty|amount|menge|anzahl"},
}


@dataclass(frozen=True, slots=True)
class PlainRow:
    """A row that was understood: its line and its values by field name."""

    line: int
    values: dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlainRows:
    """What such a list holds; a dry run: nothing has been written.

    Attributes:
        rows: Its rows in their order.
        problems: Columns and rows that were not taken.
        notices: What was decided in reading it.
        questions: What it leaves open.
        columns: Header and what it was taken for; empty where a column is not taken.
    """

    rows: tuple[PlainRow, ...]
    problems: tuple[Problem, ...]
    notices: tuple[str, ...]
    questions: tuple[Question, ...]
    columns: tuple[tuple[str, str], ...]


def read_plain_rows(path: Path, kind: type[Base], answers: Answers) -> PlainRows:
    """Read a list; nothing is raised for any content of the file.

    Args:
        path: The list.
        kind: What a row is: one of the records of this module.
        answers: What was said of it.
    """
    rows, listing = read_listing(path, kind, WORDS[kind], answers)
    return plain_rows(listing, rows)


def read_listing(
    path: Path, kind: type[Base], words: Mapping[str, str], answers: Answers, *, others: bool = False
) -> tuple[list[PlainRow], Listing]:
    """Read the rows of a list of any such kind, and return its table too.

    Args:
        path: The list.
        kind: What a row is.
        words: Words that people use for its fields.
        answers: What was said of it.
        others: Whether columns that are not known may stand beside them.
    """
    fields = field_table(kind)
    told = structs.replace(answers, others=IGNORE) if others else answers
    listing = open_listing(path, Vocabulary(fields, (), words), told)
    rows: list[PlainRow] = []
    if listing.header_texts and check_columns(listing, [info.key for info in fields if info.required]):
        for record in listing.records:
            values = _values(listing, record, kind)
            if values is not None:
                rows.append(PlainRow(record.line, values))
    return rows, listing


def plain_rows(listing: Listing, rows: Iterable[PlainRow]) -> PlainRows:
    """Return rows with what their list has said of itself."""
    columns = zip(listing.header_texts, listing.headers, strict=True)
    return PlainRows(
        rows=tuple(rows),
        problems=in_file_order(listing.problems),
        notices=tuple(listing.notices),
        questions=tuple(listing.questions),
        columns=tuple((text, header.name if header else "") for text, header in columns),
    )


def _values(listing: Listing, record: Record, kind: type[Base]) -> dict[str, Any] | None:
    """Return the values of a row; None where anything in it cannot be taken."""
    before = len(listing.problems)
    values: dict[str, Any] = {}
    cells = listing.cells(record)
    for cell in cells:
        info = cell.header.info
        if info is None:
            continue
        try:
            cell.check_usable()
            mark = cell.decimal_mark or listing.decimal_mark
            values[info.name] = read_field(info, cell.text, default_unit=cell.header.unit, decimal_mark=mark)
        except FieldError as error:
            listing.problem(record.line, str(error), shown(cell.header.text), error)
    missing = [info.key for info in field_table(kind) if info.required and info.name not in values]
    if len(listing.problems) == before and missing:
        listing.problem(record.line, f"expected a {missing[0]}, found an empty cell")
    return values if len(listing.problems) == before else None
