"""Bytes of a sheet to text: UTF-8 wherever they are lawful UTF-8, UTF-16 by its mark, Windows-1252 for the rest."""

import codecs
from pathlib import Path
from typing import NamedTuple

from bomtui.storage.proposal.toml_file import unreadable

ENCODINGS = (
    "utf-8", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "iso-8859-1", "iso-8859-15", "cp1250", "cp437", "cp850",
    "mac-roman", "shift-jis", "gb18030",
)  # fmt: skip
"""Encodings that a person can name, as the Python library calls them."""

_UTF16_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
# Of a text in Latin letters every second byte is NUL; CJK cells between them are not.
_LEAST_NULS = 0.3


class SheetText(NamedTuple):
    """Text of a sheet with LF line ends, and how it was read where it is not UTF-8."""

    text: str
    notice: str


def sheet_text(path: Path, data: bytes, encoding: str | None = None) -> SheetText:
    """Turn the bytes of a file into text.

    Args:
        path: The file, for messages.
        data: Its bytes.
        encoding: One of `ENCODINGS`, where a person has named it.

    Raises:
        UnreadableError: It is empty, or no text.
    """
    text, notice = _as_told(path, data, encoding) if encoding else _decoded(path, data)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise unreadable(path, "expected text, found a NUL character (binary data)", line)
    if not text.strip():
        raise unreadable(path, "expected a list with a header row, found an empty file")
    return SheetText(text.replace("\r\n", "\n").replace("\r", "\n"), notice)


def _as_told(path: Path, data: bytes, encoding: str) -> tuple[str, str]:
    try:
        return data.decode(encoding).removeprefix("\ufeff"), f"read as {encoding}, as told"
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise unreadable(path, f"expected text in {encoding}, found bytes that are none", line) from None


def _decoded(path: Path, data: bytes) -> tuple[str, str]:
    if data.startswith(_UTF16_MARKS):
        try:
            return data.decode("utf-16"), "read as UTF-16, by its byte order mark"
        except UnicodeDecodeError:
            raise unreadable(path, "expected text, found a broken UTF-16 text") from None
    if b"\0" in data:
        return _utf16_without_mark(path, data)
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


def _utf16_without_mark(path: Path, data: bytes) -> tuple[str, str]:
    """Read UTF-16 whose mark was cut off: the NULs of its Latin letters stand on one side of each pair."""
    high_first, low_first = data[0::2].count(0), data[1::2].count(0)
    enough = _LEAST_NULS * len(data) / 2
    encoding = "utf-16-le" if low_first >= enough and not high_first else "utf-16-be"
    if (encoding == "utf-16-be" and (low_first or high_first < enough)) or len(data) % 2:
        line = data.count(b"\n", 0, data.index(0)) + 1
        raise unreadable(path, "expected text, found a NUL character (binary data)", line)
    try:
        return data.decode(encoding), f"read as {encoding.upper()} without its mark, by the NULs in every pair of bytes"
    except UnicodeDecodeError:
        raise unreadable(path, "expected text, found a broken UTF-16 text") from None
