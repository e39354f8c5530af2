"""A TOML file as table, text and line of every key; whatever is wrong with the file as a whole is one sentence."""

import hashlib
import re
import stat
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

from bomtui.model.plain_text import clean
from bomtui.storage.problems import Fault, Problem, in_file_order
from bomtui.storage.proposal.locate import Locations, locate

MAX_BYTES = 16_000_000
"""Larger files are refused before they are parsed; a proposal of 10,000 loads takes about a quarter of this."""

_POSITION = re.compile(r"(?P<what>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)", re.DOTALL)
_SHOWN_LINE = 60
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


class UnreadableError(Exception):
    """A file of which nothing can be taken.

    Attributes:
        problem: What is wrong with it.
    """

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


class TomlFile(NamedTuple):
    """A parsed file.

    Attributes:
        path: Where it was read.
        text: Its text with LF line ends, without byte order mark.
        table: Its content.
        file_hash: SHA-256 of its bytes, for noticing that it was changed outside.
    """

    path: Path
    text: str
    table: dict[str, Any]
    file_hash: str

    def problems(self, faults: Iterable[Fault]) -> tuple[Problem, ...]:
        """Look up the lines of faults; the file is scanned for lines only if there is a fault."""
        faults = tuple(faults)
        if not faults:
            return ()
        locations: Locations = locate(self.text)
        return in_file_order(
            Problem(
                file=clean(str(self.path)),
                message=fault.message,
                line=locations.line(fault.path),
                field=".".join(map(clean, fault.path)),
                found=fault.found,
                expected=fault.expected,
            )
            for fault in faults
        )


def read_toml(path: Path, file_format: int, what: str) -> TomlFile:
    """Read and parse a file.

    Args:
        path: An existing file.
        file_format: The `format` that this program reads.
        what: What the file should be, for messages ("a proposal").

    Raises:
        UnreadableError: It cannot be read, is too large, is not text, is not TOML, or has another format.
    """
    data = read_bytes(path)
    text = _decoded(path, data, what)
    try:
        table = tomllib.loads(text)
    except RecursionError:
        raise unreadable(path, f"expected {what}, found brackets nested too deeply") from None
    except ValueError as error:
        raise UnreadableError(_syntax_problem(path, text, str(error))) from None
    _check_format(path, text, table, file_format, what)
    return TomlFile(path, text, table, hashlib.sha256(data).hexdigest())


def read_bytes(path: Path) -> bytes:
    """Read a file of lawful size.

    Raises:
        UnreadableError: It cannot be read, is not a plain file, or is too large.
    """
    try:
        with path.open("rb") as file:
            if not stat.S_ISREG(path.stat().st_mode):
                raise unreadable(path, "expected a plain file, found a device or pipe")
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        raise unreadable(path, os_sentence(error)) from None
    except ValueError:
        raise unreadable(path, "expected a file name, found one with a NUL character") from None
    if len(data) > MAX_BYTES:
        raise unreadable(path, f"expected a file of at most {MAX_BYTES // 10**6} MB, found a larger one")
    return data


def unreadable(path: Path, message: str, line: int | None = None) -> UnreadableError:
    """Build the error for a file as a whole."""
    return UnreadableError(Problem(file=clean(str(path)), message=message, line=line))


def os_sentence(error: OSError) -> str:
    """Say in words why the system refused a file."""
    if isinstance(error, FileNotFoundError):
        return "there is no such file or folder"
    if isinstance(error, PermissionError):
        return "reading it is not permitted"
    if isinstance(error, IsADirectoryError):
        return "expected a file, found a folder"
    return f"it cannot be read ({clean(error.strerror or type(error).__name__)})"


def _decoded(path: Path, data: bytes, what: str) -> str:
    if not data.strip():
        raise unreadable(path, f"expected {what}, found an empty file")
    if data.startswith(_UTF16_MARKS):
        raise unreadable(path, "expected text in UTF-8, found UTF-16")
    if b"\0" in data:
        raise unreadable(path, f"expected {what}, found binary data")
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise unreadable(path, f"expected text in UTF-8, found the byte 0x{data[error.start]:02x}", line) from None


def _syntax_problem(path: Path, text: str, message: str) -> Problem:
    match = _POSITION.fullmatch(message)
    what = clean(match["what"] if match else message)
    lines = text.split("\n")
    line = int(match["line"]) if match and match["line"] else len(lines) if match else None
    stands = clean(lines[line - 1]) if line and line <= len(lines) else ""
    if len(stands) > _SHOWN_LINE:
        stands = f"{stands[:_SHOWN_LINE]}..."
    if what == "Cannot overwrite a value":
        sentence = "expected each key once in a table, found one twice"
    elif what.startswith("Cannot declare"):
        sentence = "expected each table once, found one twice"
    else:
        sentence = f"expected TOML, found a fault of its syntax ({what[:1].lower()}{what[1:]})"
    return Problem(
        file=clean(str(path)),
        message=f"{sentence}: {stands}" if stands else sentence,
        line=line,
        column=f"column {match['column']}" if match and match["column"] else "",
    )


def _check_format(path: Path, text: str, table: dict[str, Any], file_format: int, what: str) -> None:
    expected = f"format = {file_format} at the top of {what}"
    if "format" not in table:
        raise unreadable(path, f"expected {expected}, found no format")
    found = table["format"]
    line = locate(text).line(("format",))
    if not isinstance(found, int) or isinstance(found, bool) or found < 1:
        raise unreadable(path, f"expected {expected}, found another kind of format", line)
    if found > file_format:
        raise unreadable(path, f"expected {expected}, found the newer format {str(found)[:20]}", line)
    if found < file_format:
        raise unreadable(path, f"expected {expected}, found the older format {found}", line)
