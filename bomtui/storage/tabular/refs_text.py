"""References of a parts list as people write them: `R1-R4, R7`, `D3,4,5`, `C27C28`, `U1-2` (common practice)."""

import re
from typing import NamedTuple

_GAPS = re.compile(r"[,;\s]+")
_LETTERED = re.compile(r"(?P<letters>[A-Za-z_]+)(?P<number>\d+)")
_RANGE = re.compile(
    r"(?P<letters>[A-Za-z_]+)(?P<first>\d+)\s*(?:-|\N{EN DASH}|\.\.|to|bis)\s*(?P<again>[A-Za-z_]*)(?P<last>\d+)"
)
_RUN = re.compile(r"(?:[A-Za-z_]+\d+){2,}")
_LOOSE_RANGE = re.compile(r"\s*(?:-|\N{EN DASH}|\.\.)\s*")
_LONGEST_RANGE = 5000


class References(NamedTuple):
    """References of one cell, and what of its writing was understood only by habit."""

    names: tuple[str, ...]
    remark: str = ""


def read_references(text: str) -> References:
    """Read the references of a cell; a range is written out, a number without letters takes those before it."""
    names: list[str] = []
    remarks: list[str] = []
    letters = ""
    for piece in filter(None, _GAPS.split(_LOOSE_RANGE.sub("-", text.lstrip("> ")))):
        found = _range(piece)
        single = _LETTERED.fullmatch(piece)
        if found:
            names += found
            letters = _LETTERED.fullmatch(found[-1])["letters"]  # type: ignore[index]
        elif single:
            names.append(piece)
            letters = single["letters"]
        elif _RUN.fullmatch(piece):
            names += [match[0] for match in _LETTERED.finditer(piece)]
            remarks.append(f"{piece} taken apart")
        elif piece.isdigit() and letters and piece != "0":
            names.append(f"{letters}{piece}")
            remarks.append(f"{piece} taken for {letters}{piece}")
        else:
            names.append(piece)
            remarks.append(f"{piece} taken as it is")
    return References(tuple(names), ", ".join(remarks))


def _range(piece: str) -> list[str]:
    match = _RANGE.fullmatch(piece)
    if match is None or match["again"] not in {"", match["letters"]}:
        return []
    first, last = int(match["first"]), int(match["last"])
    if not first <= last <= first + _LONGEST_RANGE:
        return []
    return [f"{match['letters']}{number}" for number in range(first, last + 1)]
