"""How long a workbook takes, as ratio to the bare library that writes the same cells (`pytest tests/benchmarks`)."""

import io
from collections.abc import Callable
from statistics import median
from time import process_time

import msgspec
import pytest
import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from bomtui.export.package.parts_list_xlsx import parts_list_xlsx
from bomtui.export.parts_list_record import PartsListRecord
from tests.services.package.sample import gathered, subject

LINES = 10_000
ROUNDS = 3
AIM = 1.5
Call = tuple[str, tuple[object, ...]]


def _record() -> PartsListRecord:
    record = gathered()["parts-list"].record
    assert isinstance(record, PartsListRecord)
    lines = tuple(
        msgspec.structs.replace(record.lines[number % len(record.lines)], line=number + 1) for number in range(LINES)
    )
    return msgspec.structs.replace(record, lines=lines)


def _seconds(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return process_time() - start


def test_a_parts_list_of_10_000_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """Our workbook takes at most half as long again as the library that writes the same cells."""
    record, parts = _record(), subject().parts
    calls: list[tuple[str, Call]] = []
    with monkeypatch.context() as patch:
        for name in ("write_string", "write_number", "write_formula"):
            plain = getattr(Worksheet, name)

            def kept(
                sheet: Worksheet, *words: object, _name: str = name, _plain: Callable[..., object] = plain
            ) -> object:
                calls.append((sheet.get_name(), (_name, words)))
                return _plain(sheet, *words)

            patch.setattr(Worksheet, name, kept)
        parts_list_xlsx(record, parts, {}, 0.0)

    def bare() -> bytes:
        stream = io.BytesIO()
        book = xlsxwriter.Workbook(stream, {"in_memory": True})
        form, sheets = book.add_format({"text_wrap": True}), {}
        for sheet_name, (name, words) in calls:
            if sheet_name not in sheets:
                sheets[sheet_name] = book.add_worksheet(sheet_name)
            own = (None if words[3:4] == (None,) else form,) if len(words) > 3 else ()
            getattr(sheets[sheet_name], name)(*words[:3], *own, *words[4:])
        book.close()
        return stream.getvalue()

    ratios = []
    for _ in range(ROUNDS):
        theirs = _seconds(bare)
        ratios.append(_seconds(lambda: parts_list_xlsx(record, parts, {}, 0.0)) / theirs)
    ratio = median(ratios)
    print(f"\n{len(calls)} cells: {ratio:.2f} times the bare library (aim {AIM})")  # noqa: T201 - a ratio to read
    assert ratio <= AIM
