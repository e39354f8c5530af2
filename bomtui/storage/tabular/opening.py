"""A file as sheets of text, told by its content: a workbook, or text with separated cells."""

from pathlib import Path
from typing import NamedTuple

from bomtui.storage.proposal.toml_file import read_bytes
from bomtui.storage.tabular.decoding import sheet_text
from bomtui.storage.tabular.delimited import SEPARATORS, split
from bomtui.storage.tabular.record import Sheet
from bomtui.storage.tabular.workbook import is_workbook, read_workbook


class OpenedSheets(NamedTuple):
    """What a file holds.

    Attributes:
        sheets: Its sheets that hold something; a text is one without a name.
        notices: What was decided in reading it.
    """

    sheets: tuple[Sheet, ...]
    notices: tuple[str, ...]


def open_sheets(path: Path, encoding: str | None = None, separator: str | None = None) -> OpenedSheets:
    """Read a file as sheets of text.

    Args:
        path: The file.
        encoding: Encoding of a text, where a person has named it.
        separator: Separator of its cells, likewise.

    Raises:
        UnreadableError: Nothing of it can be read; the sentence says why.
    """
    data = read_bytes(path)
    if is_workbook(data):
        return OpenedSheets(*read_workbook(path, data))
    text, notice = sheet_text(path, data, encoding)
    separator, records = split(text, separator)
    notices = [f"cells separated by {SEPARATORS[separator]}", *([notice] if notice else [])]
    return OpenedSheets((Sheet("", records),), tuple(notices))
