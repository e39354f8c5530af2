"""Workbooks to sheets of text: numbers with the digits that were typed, dates by name, merged cells filled down."""

import datetime
from collections.abc import Iterable
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

from bomtui.storage.proposal.toml_file import UnreadableError, unreadable
from bomtui.storage.tabular.record import Mark, Merge, Record, Sheet
from bomtui.storage.tabular.workbook_facts import SheetFacts, WorkbookError, workbook_facts

ZIP_MARK = b"PK\x03\x04"
OLD_MARK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

_NO_FACTS = SheetFacts({}, frozenset(), frozenset())


def is_workbook(data: bytes) -> bool:
    """Tell a workbook by its first bytes, whatever the file is called."""
    return data.startswith((ZIP_MARK, OLD_MARK))


def read_workbook(path: Path, data: bytes) -> tuple[tuple[Sheet, ...], tuple[str, ...]]:
    """Read every visible sheet that holds something.

    Returns:
        The sheets in their order, and notices about the workbook as a whole.

    Raises:
        UnreadableError: It is damaged, locked by a password, too large, or no workbook at all.
    """
    import python_calamine as calamine

    is_xlsx = data.startswith(ZIP_MARK) and b"xl/workbook.xml" in data
    try:
        facts = workbook_facts(data) if is_xlsx else {}
        book = calamine.CalamineWorkbook.from_filelike(BytesIO(data))
        visible = [entry for entry in book.sheets_metadata if entry.visible == calamine.SheetVisibleEnum.Visible]
        hidden = [entry.name for entry in book.sheets_metadata if entry not in visible]
        wanted = [entry.name for entry in visible if entry.typ == calamine.SheetTypeEnum.WorkSheet]
        sheets = [_sheet(book.get_sheet_by_name(name), facts.get(name, _NO_FACTS)) for name in wanted]
    except WorkbookError as error:
        raise unreadable(path, str(error)) from None
    except (calamine.CalamineError, ValueError, OSError) as error:
        if _is_locked(path):
            raise unreadable(path, "expected a workbook that can be opened, found one locked by a password") from None
        raise _damaged(path, error) from None
    notices = [f"hidden sheet left out: {name}" for name in hidden]
    if not is_xlsx:
        notices.append("hidden rows and formulas without a saved result cannot be told apart in this kind of workbook")
    return tuple(sheet for sheet in sheets if sheet.records), tuple(notices)


def _is_locked(path: Path) -> bool:
    """Tell whether a password keeps a workbook shut; the library looks for one only where it is given the file."""
    import python_calamine as calamine

    try:
        calamine.CalamineWorkbook.from_path(str(path)).close()
    except calamine.PasswordError:
        return True
    except (calamine.CalamineError, ValueError, OSError):
        return False
    return False


def _damaged(path: Path, error: Exception) -> UnreadableError:
    return unreadable(path, f"expected a workbook (XLSX, ODS or XLS), found one that cannot be read ({error})")


def _sheet(sheet: Any, facts: SheetFacts) -> Sheet:  # noqa: ANN401 - the library's own type, loaded on first use
    merges = tuple(
        Merge(first[0] + 1, first[1], last[0] + 1, last[1]) for first, last in sheet.merged_cell_ranges or ()
    )
    rows = _Rows(sheet.to_python(skip_empty_area=False), facts)
    filled = _fill_down(rows, merges)
    return Sheet(
        name=sheet.name,
        records=rows.records(),
        merges=merges,
        hidden_lines=facts.hidden_lines,
        hidden_columns=facts.hidden_columns,
        notices=filled,
    )


class _Rows:
    """Cells of a sheet on their way to text."""

    def __init__(self, values: list[list[Any]], facts: SheetFacts) -> None:
        self._marks: dict[int, dict[int, Mark]] = {}
        for (line, place), mark in facts.marks.items():
            self._marks.setdefault(line, {})[place] = mark
        # Behind the last value there may still be a formula without one.
        missing = max(self._marks, default=0) - len(values)
        width = max((place + 1 for _, place in facts.marks), default=0)
        values += [[] for _ in range(missing)]
        self.cells = [self._row(line, row, width) for line, row in enumerate(values, start=1)]

    def records(self) -> tuple[Record, ...]:
        """Return the rows that hold something."""
        return tuple(
            Record(line, tuple(row), marks=self._marks.get(line, {}))
            for line, row in enumerate(self.cells, start=1)
            if any(map(str.strip, row)) or line in self._marks
        )

    def fill(self, merge: Merge) -> bool:
        """Write what stands at the top of a merge into the rows below; say whether that did anything."""
        place = merge.first_column
        if merge.first_line > len(self.cells) or place >= len(self.cells[merge.first_line - 1]):
            return False
        text = self.cells[merge.first_line - 1][place]
        mark = self._marks.get(merge.first_line, {}).get(place)
        for line in range(merge.first_line + 1, min(merge.last_line, len(self.cells)) + 1):
            self.cells[line - 1][place] = text
            if mark is not None:
                self._marks.setdefault(line, {})[place] = mark
        return bool(text.strip())

    def _row(self, line: int, row: list[Any], width: int) -> list[str]:
        texts = []
        for place, value in enumerate([*row, *[""] * (width - len(row))]):
            text, mark = _text(value)
            known = self._marks.get(line, {}).get(place)
            if known is not None and known.kind == "zeros":
                text = known.text
            elif known is None and mark is not None:
                self._marks.setdefault(line, {})[place] = mark
            texts.append(text)
        return texts


def _text(value: Any) -> tuple[str, Mark | None]:  # noqa: ANN401 - whatever a cell holds
    """Return the text of a value, and what it was where it was no text."""
    if isinstance(value, bool):
        return ("yes" if value else "no"), Mark("flag")
    if isinstance(value, int | float):
        return _number_text(value), Mark("number")
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        day = value.date() if isinstance(value, datetime.datetime) and value.time() == datetime.time() else value
        return day.isoformat(), Mark("date", day.isoformat())
    if isinstance(value, datetime.timedelta):
        return str(value), Mark("date", str(value))
    return str(value), None


def _number_text(value: float) -> str:
    """Write a number with the 15 significant digits that a spreadsheet keeps: 0.10299999999999999 is 0.103."""
    text = format(value, ".15g")
    return format(Decimal(text), "f") if abs(value) >= 1 else text


def _fill_down(rows: _Rows, merges: Iterable[Merge]) -> tuple[str, ...]:
    """Give every row of a cell merged over rows the text that the sheet shows for all of them."""
    filled = dict.fromkeys(
        (merge.first_line, merge.last_line)
        for merge in merges
        if merge.last_line > merge.first_line and rows.fill(merge)
    )
    return tuple(f"rows {first} to {last}: one merged cell, taken for each of them" for first, last in filled)
