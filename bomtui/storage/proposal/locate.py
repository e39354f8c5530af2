"""Key path to line number in a TOML text, and its comments.

The parser of the standard library keeps no positions. This scan follows a text that the parser has already accepted, so
it need not judge anything; it runs only where there is a fault to place or a comment to keep.
"""

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass

KeyPath = tuple[str, ...]

_BLANK = re.compile(r"[ \t\n]+")
_COMMENT = re.compile(r"#[^\n]*")
_KEY_PIECE = re.compile(r'(?P<bare>[A-Za-z0-9_-]+)|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'')
_DOT = re.compile(r"[ \t]*\.[ \t]*")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?:"{0,2})|\'\'\'.*?\'\'\'(?:\'{0,2})|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL
)
_MARK = re.compile(r"[\"'#\[\]{}\n]")


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment: its line, and its text from the `#` on."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Locations:
    """Where things stand in a text.

    Attributes:
        lines: Line of each key path and of each table, 1 for the first.
        comments: All comments in order.
    """

    lines: dict[KeyPath, int]
    comments: tuple[Comment, ...]

    def line(self, path: KeyPath) -> int | None:
        """Line of a key path, or of the nearest table that holds it; None for the file as a whole."""
        for length in range(len(path), 0, -1):
            line = self.lines.get(path[:length])
            if line is not None:
                return line
        return None


def locate(text: str) -> Locations:
    """Scan a text that the TOML parser accepts, with LF line ends."""
    return _Scan(text).run()


class _Scan:
    """One pass over a text."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._position = 0
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self._table: KeyPath = ()
        self._lines: dict[KeyPath, int] = {}
        self._comments: list[Comment] = []

    def run(self) -> Locations:
        """Scan statement by statement to the end, or to whatever is no TOML."""
        text = self._text
        while self._position < len(text):
            if self._skip(_BLANK) or self._comment():
                continue
            line = self._line()
            if text[self._position] == "[":
                while text.startswith(("[", " ", "\t"), self._position):
                    self._position += 1
                self._table = self._keys()
                self._note(self._table, line)
                self._skip_line()
            else:
                keys = self._keys()
                if not keys:
                    break
                self._note((*self._table, *keys), line)
                self._skip_value()
        return Locations(self._lines, tuple(self._comments))

    def _line(self) -> int:
        return bisect_right(self._starts, self._position)

    def _note(self, path: KeyPath, line: int) -> None:
        """Keep the first line at which a path, or a table that it implies, stands."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines and length < len(path):
                break
            self._lines.setdefault(path[:length], line)

    def _skip(self, pattern: re.Pattern[str]) -> bool:
        match = pattern.match(self._text, self._position)
        if match is None or not match[0]:
            return False
        self._position = match.end()
        return True

    def _comment(self) -> bool:
        match = _COMMENT.match(self._text, self._position)
        if match is None:
            return False
        self._comments.append(Comment(self._line(), match[0].rstrip()))
        self._position = match.end()
        return True

    def _keys(self) -> KeyPath:
        keys: list[str] = []
        while match := _KEY_PIECE.match(self._text, self._position):
            keys.append(match[0] if match["bare"] else _unquoted(match[0]))
            self._position = match.end()
            if not self._skip(_DOT):
                break
        return tuple(keys)

    def _skip_line(self) -> None:
        while self._position < len(self._text) and self._text[self._position] != "\n":
            if not self._comment():
                self._position += 1

    def _skip_value(self) -> None:
        depth = 0
        while match := _MARK.search(self._text, self._position):
            self._position = match.start()
            mark = match[0]
            if mark == "#":
                self._comment()
                continue
            if mark in "\"'" and self._skip(_STRING):
                continue
            self._position += 1
            if mark in "[{":
                depth += 1
            elif mark in "]}":
                depth -= 1
            elif mark == "\n" and depth <= 0:
                return
        self._position = len(self._text)


def _unquoted(piece: str) -> str:
    return next(iter(tomllib.loads(f"{piece} = 0")))
