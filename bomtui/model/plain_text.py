"""Text from files made harmless for one line of a terminal, a table or a page.

A name typed by somebody else may hold bytes that drive the reader's terminal, turn the reading direction, or hide. What
acts becomes a visible picture, what hides goes, and everything that a person wrote to be read stays. Code points and
their classes: The Unicode Standard, general categories and default ignorable code points; ECMA-48 for the control sets.
"""

import re
import unicodedata

REPLACEMENT = "\N{REPLACEMENT CHARACTER}"

# Marks stacked on one letter beyond this number serve no script in use here and smear over the lines around it.
STACKED_MARKS = 4

_LINE_END = re.compile(r"\r\n|\n|\r")
_SPACES = frozenset("\t\n\r\v\f\x85\u2028\u2029")
# Letters by category, invisible by property (Hangul fillers, Braille blank, combining joiner, Khmer inherent vowels).
_HIDDEN_LETTERS = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
_VARIATION_SELECTORS = (range(0x180B, 0x1810), range(0xFE00, 0xFE10), range(0xE0100, 0xE01F0))


def _shown(character: str) -> str:
    """What stands for one character."""
    code = ord(character)
    if character in _SPACES:
        return " "
    if character in _HIDDEN_LETTERS or any(code in selectors for selectors in _VARIATION_SELECTORS):
        return ""
    category = unicodedata.category(character)
    if category == "Cc":
        # The pictures of the C0 set and of DEL stand in their own block; the C1 set has none.
        return chr(0x2400 + code) if code < 0x20 else "\N{SYMBOL FOR DELETE}" if code == 0x7F else REPLACEMENT
    if category == "Cf":
        return ""
    if category in {"Cs", "Co", "Cn"}:
        return REPLACEMENT
    return " " if category == "Zs" else character


class _Table(dict[int, str]):
    """The translation table, filled as characters are met."""

    def __missing__(self, code: int) -> str:
        self[code] = shown = _shown(chr(code))
        return shown


_TABLE = _Table()


def _with_few_marks(text: str) -> str:
    """The text without the marks that stack too high, and without marks that have no letter to stand on."""
    kept: list[str] = []
    stacked = STACKED_MARKS
    for character in text:
        if unicodedata.category(character) in {"Mn", "Me"}:
            stacked += 1
            if stacked > STACKED_MARKS:
                continue
        else:
            # A space carries no mark: the mark would move onto the neighbour in the terminal.
            stacked = STACKED_MARKS if character == " " else 0
        kept.append(character)
    return "".join(kept)


def is_writable(text: str) -> bool:
    """Tell whether files and databases can hold every sign of a text: no NUL, no half of a surrogate pair."""
    return "\0" not in text and not any("\ud800" <= sign <= "\udfff" for sign in text)


def clean(text: str) -> str:
    """The text as one harmless line.

    Control characters become their pictures, line ends and tabs a space; bidirectional controls, zero-width characters
    and variation selectors go; what has no agreed shape (lone surrogates, private use, unassigned) becomes U+FFFD.
    Cleaning a clean text changes nothing.
    """
    if text.isascii() and text.isprintable():
        return text
    return _with_few_marks(text.translate(_TABLE))


def clean_lines(text: str) -> tuple[str, ...]:
    """The lines of the text, each one clean."""
    return tuple(clean(line) for line in _LINE_END.split(text))


def columns_of(text: str) -> int:
    """Return the columns that a text takes (Unicode Standard Annex 11: wide and fullwidth take two)."""
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in {"W", "F"} else 1
        for sign in text
    )


DEFUSED = frozenset("=+-@\t\r\N{FULLWIDTH EQUALS SIGN}\N{FULLWIDTH PLUS SIGN}\N{FULLWIDTH HYPHEN-MINUS}"
                    "\N{FULLWIDTH COMMERCIAL AT}")  # fmt: skip
"""First characters by which a spreadsheet takes a text for a formula, or drops the cell's border to the next."""
DEFUSE_MARK = "'"


def defused(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula; one that is marked already gets a second mark."""
    return DEFUSE_MARK + text if _would_run(text) else text


def armed(text: str) -> str:
    """Return the text that `defused` was given."""
    return text.removeprefix(DEFUSE_MARK) if text.startswith(DEFUSE_MARK) and _would_run(text) else text


def _would_run(text: str) -> bool:
    first = text.lstrip(f" {DEFUSE_MARK}")[:1]
    return bool(first) and first in DEFUSED
