"""A table of parts in the form of the shipped catalog, row by row like any other list of parts."""

import re
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from bomtui.model.fields import field_table
from bomtui.model.part import Part
from bomtui.storage.frozen_parts import read_parts as read_frozen_parts
from bomtui.storage.problems import Problem
from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.shipped import read_part_tables
from bomtui.storage.tabular.answers import EMPTY, Answers
from bomtui.storage.tabular.opening import open_sheets
from bomtui.storage.tabular.parts import PartRow, PartsResult, read_parts

EXPORT_SUFFIX = ".toml"
_KEY = "key"


def read_any_parts(path: Path, answers: Answers = EMPTY) -> PartsResult:
    """Read a list of parts: as the catalog is exported, in the form of the shipped catalog, or in any form."""
    if path.suffix.lower() == EXPORT_SUFFIX:
        frozen, problems = read_frozen_parts(path)
        lines, notice = _lines_of_export(path), "read as parts that were exported"
        return _result(frozen, lines, problems, notice)
    own_lines = _lines_of_own_form(path)
    if own_lines is None:
        return read_parts(path, answers)
    parts, problems = read_part_tables([path])
    return _result(parts, own_lines, problems, "read as a table in the form of the shipped catalog")


def _result(
    parts: Mapping[str, Part], lines: Mapping[str, int], problems: tuple[Problem, ...], notice: str
) -> PartsResult:
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
    return PartsResult(rows=rows, problems=problems, notices=(notice,))


def _lines_of_export(path: Path) -> dict[str, int]:
    """Return the line at which each part of an exported file begins."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, ValueError):
        # What is wrong with it is said by who reads it.
        return {}
    heads = re.compile(r"\[parts\.([A-Za-z0-9_-]+)\]")
    return {
        head[1]: number
        for number, line in enumerate(text.splitlines(), start=1)
        if (head := heads.fullmatch(line.strip()))
    }


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
