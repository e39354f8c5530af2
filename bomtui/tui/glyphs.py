"""Signs of the screen, each one cell wide, in a full set and in an ASCII set."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.tui.marks import Mark

PLAIN_TERMINALS = frozenset({"linux", "vt100", "vt102", "vt220", "dumb"})
"""Kinds of terminal whose fonts are known to lack the full set; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Glyphs:
    """One set of signs.

    Attributes:
        marks: Sign per state; the word beside it says the same.
        opened: In front of an open row.
        closed: In front of a closed row.
        cursor: In front of the row under the cursor.
        more_left: More columns to the left.
        more_right: More columns to the right.
        ellipsis: Ends a text that had to be cut.
        rule: A level line.
    """

    marks: Mapping[Mark, str]
    opened: str
    closed: str
    cursor: str
    more_left: str
    more_right: str
    ellipsis: str
    rule: str

    def state(self, mark: Mark, word: str) -> str:
        """Sign and word of a state."""
        return f"{self.marks[mark]} {word}".strip()


FULL = Glyphs(
    marks={"": "", "ok": "✓", "check": "◊", "over": "✗", "unknown": "?", "note": "»"},
    opened="▾",
    closed="▸",
    cursor=">",
    more_left="<",
    more_right=">",
    ellipsis="…",
    rule="─",
)
ASCII = Glyphs(
    marks={"": "", "ok": "=", "check": "!", "over": "X", "unknown": "?", "note": "i"},
    opened="-",
    closed="+",
    cursor=">",
    more_left="<",
    more_right=">",
    ellipsis="~",
    rule="-",
)


def want_ascii(environment: Mapping[str, str], encoding: str) -> bool:
    """Whether the terminal should get the ASCII set.

    Args:
        environment: Environment variables; BOMTUI_ASCII=1 asks for ASCII, BOMTUI_ASCII=0 for the full set.
        encoding: Name of the terminal's character encoding.
    """
    asked = environment.get("BOMTUI_ASCII", "")
    if asked in {"0", "1"}:
        return asked == "1"
    is_utf8 = encoding.lower().replace("-", "").replace("_", "") in {"utf8", "cp65001"}
    return not is_utf8 or environment.get("TERM", "") in PLAIN_TERMINALS


def glyphs_for(environment: Mapping[str, str], encoding: str) -> Glyphs:
    """The set of signs that the terminal can show."""
    return ASCII if want_ascii(environment, encoding) else FULL
