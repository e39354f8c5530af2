"""Bytes of a sheet to text: UTF-8 wherever they are lawful UTF-8, UTF-16 by its mark, Windows-1252 for the rest."""

import codecs
from pathlib import Path
from typing import NamedTuple

from bomtui.storage.proposal.toml_file import read_bytes, unreadable

_UTF16_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


class SheetText(NamedTuple):
    """Text of a sheet with LF line ends, and the encoding where it is not UTF-8."""

    text: str
    notice: str


def read_sheet_text(path: Path) -> SheetText:
    """Read a file as text.

    Raises:
        UnreadableError: It cannot be read, is too large, empty, or no text.
    """
    data = read_bytes(path)
    text, notice = _decoded(path, data)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise unreadable(path, "expected text, found a NUL character (binary data, or UTF-16 without its mark)", line)
    if not text.strip():
        raise unreadable(path, "expected a list with a header row, found an empty file")
    return SheetText(text.replace("\r\n", "\n").replace("\r", "\n"), notice)


def _decoded(path: Path, data: bytes) -> tuple[str, str]:
    if data.startswith(_UTF16_MARKS):
        try:
            return data.decode("utf-16"), "read as UTF-16, by its byte order mark"
        except UnicodeDecodeError:
            raise unreadable(path, "expected text, found a broken UTF-16 text") from None
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError as error:
        byte, line = data[error.start], data.count(b"\n", 0, error.start) + 1
    try:
        return data.decode("cp1252"), f"read as Windows-1252, because byte 0x{byte:02x} in line {line} is not UTF-8"
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"expected text in UTF-8 or Windows-1252, found the byte 0x{data[error.start]:02x}"
        raise unreadable(path, message, line) from None
