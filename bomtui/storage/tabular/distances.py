"""Wire runs between zones: a list of pairs, or a matrix with zones across and down, half of it filled or all."""

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import msgspec

from bomtui import units
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.quantity import dimension_named
from bomtui.storage.field_text import FieldError, read_field, shown
from bomtui.storage.tabular.answers import Answers, Question
from bomtui.storage.tabular.header import Vocabulary, word_of
from bomtui.storage.tabular.listing import Listing, check_columns, open_listing
from bomtui.storage.tabular.plain_rows import WORDS, DistanceRow, PlainRow, PlainRows, plain_rows, read_plain_rows
from bomtui.storage.tabular.record import Record

NOTHING = frozenset(("-", "--", "\N{EN DASH}", "\N{EM DASH}", "x", "X", "n/a", "/", "\\"))
"""What people write into the cells of a matrix that hold no run."""
_CORNER = "zone"
_LEAST_ZONES = 2
_UNIT = re.compile(
    r"[\[(]\s*(?P<unit>[^\[\]()]+?)\s*[\])]|(?:\bin\s+|,\s*)(?P<bare>\S+)\s*$|^\s*(?P<alone>[a-z]{1,2})\s*$"
)
_RUN = next(info for info in field_table(DistanceRow) if info.dimension)


def read_distances(path: Path, zones: Mapping[str, str], answers: Answers) -> PlainRows:
    """Read wire runs; nothing is raised for any content of the file.

    In a matrix the run of two zones may stand once or twice; what stands on its diagonal is the run inside a zone,
    except a 0, which says nothing. The unit stands in the corner, with each zone, or in each cell; else it is asked.

    Args:
        path: The list.
        zones: Name of each zone by id; empty for a zone without one.
        answers: What was said of it.
    """
    pairs = read_plain_rows(path, DistanceRow, answers)
    if {name.partition(" [")[0] for _, name in pairs.columns} >= {info.key for info in field_table(DistanceRow)}:
        return pairs
    words = _zone_words(zones)
    listing = open_listing(path, words, answers)
    places = _zone_places(listing)
    if len(places) < _LEAST_ZONES:
        return pairs
    return _Matrix(path, zones, words, answers, places, listing.header_texts).read()


def _zone_words(zones: Mapping[str, str]) -> Vocabulary:
    """Return headers of which each is a zone, by its id or its name."""
    corner = next(info for info in field_table(DistanceRow) if info.key == _CORNER)
    fields = [_run_to(zone) for zone in zones if word_of(zone) != _CORNER]
    names = {zone: name for zone, name in zones.items() if name and "|" not in name and word_of(name) != _CORNER}
    return Vocabulary([corner, *fields], (), {_CORNER: WORDS[DistanceRow]["zone"], **names})


def _run_to(zone: str) -> FieldInfo:
    return replace(_RUN, name=f"run to {zone}", key=zone, required=False)


def _zone_places(listing: Listing) -> list[int]:
    """Return the columns whose header is a zone."""
    return [
        place
        for place, header in enumerate(listing.headers)
        if header is not None and header.info is not None and header.info.dimension
    ]


class _Matrix:
    """A matrix on its way to rows."""

    def __init__(
        self,
        path: Path,
        zones: Mapping[str, str],
        words: Vocabulary,
        answers: Answers,
        places: list[int],
        header_texts: tuple[str, ...],
    ) -> None:
        self._zone_of = {word_of(name): zone for zone, name in zones.items() if name}
        self._zone_of |= {word_of(zone): zone for zone in zones}
        corner = max(0, places[0] - 1)
        text = header_texts[corner] if corner < places[0] else ""
        columns = dict(answers.columns)
        told = [columns.pop(name) for name in tuple(columns) if name == f"#{corner + 1}" or _is_same(name, text)]
        unit = next(filter(None, map(_length_unit, (*told, text))), "")
        columns[f"#{corner + 1}"] = _CORNER
        for place in places if unit else ():
            # A header that names its own unit stays as it is.
            if words.read(header_texts[place]).unit is None:
                columns.setdefault(f"#{place + 1}", f"{header_texts[place]} [{unit}]")
        self._subject = text or f"#{corner + 1}"
        self._words = words
        self._listing = open_listing(path, words, msgspec.structs.replace(answers, columns=columns))

    def read(self) -> PlainRows:
        listing = self._listing
        rows: list[PlainRow] = []
        self._ask_unit_once()
        if check_columns(listing, [_CORNER]):
            zeros = 0
            for record in listing.records:
                found, own_zeros = self._row(record)
                rows += found
                zeros += own_zeros
            if zeros:
                listing.notices.append(f"a 0 on the diagonal says nothing of the run inside a zone: {zeros} left out")
        return plain_rows(listing, rows)

    def _ask_unit_once(self) -> None:
        """Ask for the unit of the matrix, and not of each of its columns."""
        listing = self._listing
        asked = [own for own in listing.questions if own.about == "columns" and self._words.knows(own.subject)]
        if len(asked) < _LEAST_ZONES:
            return
        kind = dimension_named(_RUN.dimension)
        names = dict.fromkeys((kind.home_unit, *(unit for unit, _ in kind.units)))
        sentence = "the runs of the matrix are numbers without a unit; which unit?"
        question = Question("columns", sentence, self._subject, tuple(f"{_CORNER} [{unit}]" for unit in names))
        listing.questions = [question, *(own for own in listing.questions if own not in asked)]

    def _row(self, record: Record) -> tuple[list[PlainRow], int]:
        """Return the runs of one row, and how many zeros of the diagonal were left out."""
        listing = self._listing
        cells = listing.cells(record)
        name = next((cell.text for cell in cells if cell.header.key == _CORNER), "")
        zone = self._zone_of.get(word_of(name))
        if zone is None:
            if cells:
                listing.problem(record.line, f"expected a zone at the beginning of the row, found {shown(name)}")
            return [], 0
        rows: list[PlainRow] = []
        zeros = 0
        for cell in cells:
            info = cell.header.info
            if info is None or not info.dimension or cell.text in NOTHING:
                continue
            try:
                cell.check_usable()
                mark = cell.decimal_mark or listing.decimal_mark
                run_m = read_field(_RUN, cell.text, default_unit=cell.header.unit, decimal_mark=mark)
            except FieldError as error:
                listing.problem(record.line, str(error), shown(cell.header.text), error, name=zone)
                continue
            if info.key == zone and not run_m:
                zeros += 1
            else:
                rows.append(PlainRow(record.line, {"zone": zone, "to": info.key, "distance_m": run_m}))
        return rows, zeros


def _is_same(name: str, text: str) -> bool:
    return bool(text) and word_of(name) == word_of(text)


def _length_unit(text: str) -> str:
    """Return the unit of length that a text ends in, or holds in brackets; empty for none."""
    match = _UNIT.search(text)
    unit = "" if match is None else next(filter(None, match.groups()), "")
    try:
        units.check_unit(unit, _RUN.dimension)
    except units.QuantityError:
        return ""
    return unit
