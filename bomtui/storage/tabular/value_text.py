"""The value cell of a parts list: `100R/0.25W 1%`, `10uF/25V`, `4k7`, `18pF 5% 50V C0G`.

What a value is of follows from the letters of its reference (IEC 60617 and common practice: R, C, L, Y, F). Letters in
place of the decimal mark: IEC 60062.
"""

import re
from collections.abc import Mapping
from contextlib import suppress
from typing import NamedTuple

from bomtui import units
from bomtui.storage.field_text import shown

DIMENSION_OF_LETTERS: Mapping[str, str] = {
    "R": "resistance",
    "RN": "resistance",
    "RV": "resistance",
    "C": "capacitance",
    "L": "inductance",
    "FB": "resistance",
    "Y": "frequency",
    "X": "frequency",
    "F": "current",
}
_SIDE_DIMENSIONS = ("voltage", "power", "current", "ratio")
_SYMBOLS = {
    "resistance": "ohm", "capacitance": "F", "inductance": "H", "frequency": "Hz", "current": "A",
}  # fmt: skip
_GAPS = re.compile(r"\s*[/,;]\s+|\s+/\s*|/(?=\d)|\s+|,(?=\s)")
_LOST = re.compile("[?\N{REPLACEMENT CHARACTER}]")
_UNITLESS = re.compile(r"\d+(?:[.,]\d+)?\s*[pnuµμmkKMG]?")
_CASE = re.compile(r"(?P<number>[\d.,]+)\s*(?P<prefix>[PNU])F")
_PAIR = re.compile(r"(?<![A-Za-z\d.,])(?P<number>\d[\d.,]*)\s+(?P<unit>[A-Za-z\u00b5\u03bc\u03a9\u2126%?\ufffd]+)")
_BRACKETS = re.compile(r"\([^()]*\)")


class Value(NamedTuple):
    """What a value cell says.

    Attributes:
        params: Numbers by dimension, in the unit of the model.
        remark: What was understood only by habit, or not at all; empty where all is plain.
    """

    params: dict[str, float]
    remark: str = ""


def read_value(text: str, letters: str) -> Value:
    """Read a value cell.

    Args:
        text: The cell.
        letters: Letters of the row's references, or of its kind.

    Returns:
        Nothing, with a remark, for a cell that is a name rather than a value.
    """
    dimension = DIMENSION_OF_LETTERS.get(letters.upper(), "")
    params: dict[str, float] = {}
    remarks: list[str] = []
    in_brackets = _BRACKETS.search(text)
    if in_brackets:
        remarks.append(f"{shown(in_brackets[0])} not read")
    joined = _PAIR.sub(r"\g<number>\g<unit>", _BRACKETS.sub(" ", text).strip())
    for piece in filter(None, _GAPS.split(joined)):
        found = _piece(piece, dimension if dimension not in params else "", params)
        if found:
            remarks.append(found)
    return Value(params, "; ".join(remarks))


def _piece(piece: str, dimension: str, params: dict[str, float]) -> str:
    """Read one piece of a value into the parameters; return what is to be remarked."""
    text = piece.strip("±,;")
    remark = ""
    if _LOST.search(text):
        remark = f"a character of {shown(piece)} was lost"
        text = _LOST.sub("", text)
    if dimension:
        value = _main(text, dimension)
        if value is not None:
            params[dimension] = value
            return remark or ("" if _is_plain(text, dimension) else f"{shown(piece)} taken for a {dimension}")
    for side in (*_SIDE_DIMENSIONS, *_SYMBOLS):
        with suppress(units.QuantityError):
            value = units.parse(text, side)
            if side in params and params[side] != value:
                return f"{shown(piece)} is a second {side}"
            params.setdefault(side, value)
            return remark
    return remark or f"{shown(piece)} not read"


def _main(text: str, dimension: str) -> float | None:
    """Read the value that the row is about; a bare prefix or number has the unit that its letters say."""
    upper = _CASE.fullmatch(text)
    if upper and dimension == "capacitance":
        # Capital UF, NF and PF of a printed list: no other capacitance is meant.
        text = f"{upper['number']}{upper['prefix'].lower()}F"
    with suppress(units.QuantityError):
        return units.parse(text, dimension)
    with suppress(units.QuantityError):
        return units.parse(f"0{text}" if text.startswith("R") else text, dimension)
    if _UNITLESS.fullmatch(text):
        with suppress(units.QuantityError):
            return units.parse(f"{text.replace('K', 'k')}{_SYMBOLS[dimension]}", dimension)
    return None


def _is_plain(text: str, dimension: str) -> bool:
    with suppress(units.QuantityError):
        units.parse(text, dimension)
        return True
    return False
