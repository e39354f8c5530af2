"""Fields as rows of a sheet: plain data, no screen library."""

from collections.abc import Iterable, Iterator

from bomtui.tui.field_view import FieldHelp, FieldLine
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

COLUMNS = (Column("Field", max_width=44), Column("Value", max_width=50))


def field_rows(lines: Iterable[FieldLine], depth: int = 0) -> Iterator[Row]:
    """Return a row for each line, what is inside it below it."""
    for line in lines:
        value = f"{line.shown}  ({line.remark})".lstrip() if line.remark else line.shown
        yield Row(line.place, depth, (line.title, value), has_children=bool(line.children))
        yield from field_rows(line.children, depth + 1)


def by_place(lines: Iterable[FieldLine]) -> dict[str, FieldLine]:
    """Return all lines, those inside others too, by their places."""
    found: dict[str, FieldLine] = {}
    for line in lines:
        found[line.place] = line
        found.update(by_place(line.children))
    return found


def nearest(place: str, known: Iterable[str]) -> str | None:
    """Return the place, or the nearest around it, that is known; None where nothing of it is."""
    known = frozenset(known)
    while place:
        if place in known:
            return place
        place = place.rpartition(".")[0]
    return None


def sentence(line: FieldLine, note: FieldHelp) -> str:
    """Say what a field is, what it takes, and its value where that is too long for its column."""
    pieces = [f"{note.words}: {note.help}."]
    if note.fixed:
        pieces.append(f"{note.fixed[0].upper()}{note.fixed[1:]}.")
    elif line.kind in {"text", "choice"}:
        pieces.append(f"Takes {note.expected}.")
    if len(line.shown) > COLUMNS[1].max_width:
        pieces.append(f"Now: {line.shown}")
    return " ".join(pieces)
