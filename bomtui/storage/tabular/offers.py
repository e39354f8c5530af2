"""Prices of several sources of one part: a part has those of one, so a person says whose stand, in which order."""

from collections.abc import Iterable, Sequence
from functools import partial

from bomtui.storage.field_text import shown
from bomtui.storage.tabular.answers import Question
from bomtui.storage.tabular.header import Header
from bomtui.storage.tabular.listing import Cell, Listing
from bomtui.storage.tabular.price_text import NO_PRICE
from bomtui.storage.tabular.record import Record
from bomtui.storage.tabular.source_columns import OFFER_KEYS, PRICES, SOURCE

ANSWER = "supplier"
_IDENTITY = ("mpn", "maker")
_SHOWN = 6


class Offers:
    """What the sources of a list offer, in columns beside each other or in rows below each other.

    Attributes:
        is_open: Whether it is not said whose prices stand; then nothing is taken.
    """

    def __init__(self, listing: Listing) -> None:
        self._listing = listing
        self._group_of = {header.group: _folded(header.group) for header in listing.headers if header and header.group}
        self._groups = list(dict.fromkeys(self._group_of.values()))
        self._identity = [self._place(key) for key in _IDENTITY]
        self._left: dict[str, int] = {}
        self._of_part: dict[tuple[str, ...], list[str]] = {}
        names = self._names_in_columns() if self._groups else self._names_in_rows()
        self._spelling = {_folded(name): name for name in names}
        self._order = self._said(names) if names else []
        self.is_open = bool(names) and not self._order

    def chosen(self, record: Record, cells: list[Cell]) -> tuple[list[Cell] | None, str]:
        """Return the cells of a row that count; None where another row of its part does.

        Returns:
            The cells, and what is to be said where none of the sources that were named offers the part.
        """
        if self._groups:
            return self._of_columns(cells)
        sources = self._of_part.get(self._part(record), []) if self._of_part else []
        if len(sources) < 2:
            return cells, ""
        own = next((_folded(cell.text) for cell in cells if cell.header.key == SOURCE), "")
        best = next((name for name in self._order if name in sources), None)
        if best == own:
            return cells, ""
        if best is not None:
            self._listing.notices.append(f"line {record.line}: prices of {self._spelled(own)} left out")
            return None, ""
        return _without_offer(cells), self._only_at(sources)

    def say_left_out(self) -> None:
        """Note whose columns were left out in how many rows; rows that were left out are noted one by one."""
        for name, count in self._left.items():
            self._listing.notices.append(f"prices of {self._spelled(name)} left out: {count}")

    def _of_columns(self, cells: list[Cell]) -> tuple[list[Cell], str]:
        by_group: dict[str, list[Cell]] = {group: [] for group in self._groups}
        for cell in cells:
            if cell.header.group:
                by_group[self._group_of[cell.header.group]].append(cell)
        shared = [cell for cell in cells if not cell.header.group]
        offering: dict[str, list[Cell]] = {}
        for group, own in by_group.items():
            if any(map(_has_price, own)):
                # Two prices of one source are refused where they are read.
                offering.setdefault(self._name_of(group, own), []).extend(own)
        best = next((name for name in self._order if name in offering), None)
        for name in offering:
            if name != best:
                self._leave_out(name)
        if best is not None:
            return [cell for cell in cells if not cell.header.group or cell in offering[best]], ""
        return shared, self._only_at(offering) if offering else ""

    def _only_at(self, names: Iterable[str]) -> str:
        offering = ", ".join(map(self._spelled, names))
        return f"no supplier that was named offers it, so its price stays unknown; offered by: {offering}"

    def _spelled(self, name: str) -> str:
        return self._spelling.get(name, "no supplier by name")

    def _leave_out(self, name: str) -> None:
        self._left[name] = self._left.get(name, 0) + 1

    def _name_of(self, group: str, cells: Iterable[Cell]) -> str:
        """Return the source of some columns in a row: what its own cell says, else what their headers say."""
        return next((_folded(cell.text) for cell in cells if cell.header.key == SOURCE), group)

    def _names_in_columns(self) -> list[str]:
        """Return the sources of the list as written."""
        listing, names = self._listing, list[str]()
        written = {folded: group for group, folded in reversed(self._group_of.items())}
        for group in self._groups:
            own = list(listing.columns(partial(_names_source, group)))
            names += [text.strip() for text in own if text.strip()] or [written[group]]
        return _once(names)

    def _names_in_rows(self) -> list[str]:
        """Return the sources of those parts that several offer; empty where there is none."""
        listing = self._listing
        if not (listing.has(SOURCE) and listing.has("mpn") and any(map(listing.has, PRICES))):
            return []
        place = self._place(SOURCE)
        names: dict[tuple[str, ...], list[str]] = {}
        for record in listing.records:
            name = record.cells[place].strip() if place < len(record.cells) else ""
            part = self._part(record)
            if part and part[0]:
                names.setdefault(part, []).append(name)
        several = {part: once for part, found in names.items() if len(once := _once(found)) > 1}
        self._of_part = {part: list(map(_folded, found)) for part, found in several.items()}
        return _once(name for found in several.values() for name in found if name)

    def _part(self, record: Record) -> tuple[str, ...]:
        """Return what tells the part of a row from others: its number and its maker."""
        cells = record.cells
        return tuple(_folded(cells[place]) if 0 <= place < len(cells) else "" for place in self._identity)

    def _place(self, key: str) -> int:
        """Return the column of a field; -1 where there is none."""
        return next((number for number, header in enumerate(self._listing.headers) if header and header.key == key), -1)

    def _said(self, names: Sequence[str]) -> list[str]:
        """Return the sources in the order that a person has said, or ask."""
        listing = self._listing
        text = listing.answers.supplier
        order, wrong = _read_order(text, self._spelling) if text else ([], "")
        if order and not wrong:
            listing.notices.append(f"prices taken of {', '.join(self._spelling[name] for name in order)}")
            return order
        listed = ", ".join(names[:_SHOWN]) + (f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else "")
        found = f"{shown(wrong)}" if wrong else "none"
        listing.problem(listing.header_line, f"expected whose prices stand ({listed}), found {found}")
        orders = [", ".join((name, *(other for other in names if other != name))) for name in names]
        sentence = f"several suppliers offer the same parts ({listed}); whose prices stand, in which order?"
        listing.questions.append(Question(ANSWER, sentence, choices=(*names, *orders)[: 2 * _SHOWN]))
        return []


def _names_source(group: str, header: Header) -> bool:
    return header.key == SOURCE and _folded(header.group) == group


def _read_order(text: str, known: Iterable[str]) -> tuple[list[str], str]:
    """Read names with commas between them, and in them where a name has some; and what is none of them."""
    pieces, order = text.split(","), list[str]()
    while pieces:
        size = next((size for size in range(len(pieces), 0, -1) if _folded(",".join(pieces[:size])) in known), 0)
        if not size:
            return [], pieces[0].strip()
        order.append(_folded(",".join(pieces[:size])))
        pieces = pieces[size:]
    return order, ""


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _once(names: Iterable[str]) -> list[str]:
    """Return each name once, in its first spelling."""
    spelling: dict[str, str] = {}
    for name in names:
        spelling.setdefault(_folded(name), " ".join(name.split()))
    return list(spelling.values())


def _has_price(cell: Cell) -> bool:
    return cell.header.key in PRICES and cell.text.casefold() not in NO_PRICE


def _without_offer(cells: Iterable[Cell]) -> list[Cell]:
    return [cell for cell in cells if cell.header.key not in OFFER_KEYS]
