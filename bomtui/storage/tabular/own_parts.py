"""A table of parts in the form of the shipped catalog, row by row like any other list of parts."""

from decimal import Decimal
from pathlib import Path

from bomtui.model.fields import field_table
from bomtui.model.part import Part
from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.shipped import read_part_tables
from bomtui.storage.tabular.answers import EMPTY, Answers
from bomtui.storage.tabular.opening import open_sheets
from bomtui.storage.tabular.parts import PartRow, PartsResult, read_parts

_KEY = "key"


def read_any_parts(path: Path, answers: Answers = EMPTY) -> PartsResult:
    """Read a list of parts: by its first header `key` in the form of the shipped catalog, else in any form."""
    lines = _lines_of_own_form(path)
    if lines is None:
        return read_parts(path, answers)
    parts, problems = read_part_tables([path])
    rows = tuple(
        PartRow(
            line=lines.get(key, 1),
            key=key,
            mpn=part.mpn,
            quantity=Decimal(1),
            refs=(),
            is_fitted=True,
            section="",
            values=_given(part),
            params={},
        )
        for key, part in parts.items()
    )
    notices = ("read as a table in the form of the shipped catalog",)
    return PartsResult(rows=rows, problems=problems, notices=notices)


def _lines_of_own_form(path: Path) -> dict[str, int] | None:
    """Return the line of each key; None for a table of any other form."""
    try:
        (sheet, *_), _ = open_sheets(path)
    except (UnreadableError, ValueError):
        # What is wrong with it is said by who reads it.
        return None
    records = sheet.records
    if sheet.name or not records or not records[0].cells or records[0].cells[0].strip() != _KEY:
        return None
    return {record.cells[0].strip(): record.line for record in records[1:] if record.cells}


def _given(part: Part) -> dict[str, object]:
    values = {info.name: getattr(part, info.name) for info in field_table(Part)}
    return {
        info.name: values[info.name] for info in field_table(Part) if info.required or values[info.name] != info.default
    }
