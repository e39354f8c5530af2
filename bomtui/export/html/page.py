"""The whole package as one HTML page that prints well on A4 and Letter.

Nothing in it runs and nothing is fetched. Wide tables are cut into blocks of columns, each with the columns that name
its rows, so that no column is lost at the edge of the paper.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from bomtui.export.facts import heading_facts, standing_text
from bomtui.export.html.block_diagram import diagram_svgs
from bomtui.export.html.charts import charts
from bomtui.export.html.svg import chart_svg
from bomtui.export.notation import PLAIN_NOTATION, Notation
from bomtui.export.package.artefact import Artefact
from bomtui.export.package.others import DiagramSet
from bomtui.export.package.standby import StandbyBudget
from bomtui.export.package.summary import Summary
from bomtui.export.table import Table, TableColumn
from bomtui.model.plain_text import clean

PAGE_LETTERS = 205
"""Letters of the small print that fit side by side on landscape paper; measured on Letter, the narrower one."""
WRAPPED_LETTERS = 26
"""Letters after which a cell of words may begin a new line."""


SMALL_ROWS = 16
"""Rows up to which a narrow table may stand beside another one."""
BORDER_LETTERS = 3
"""Letters that the borders of a cell take."""
RUNNING_LETTERS = 90
"""Letters of the title at the foot of every printed page."""
JOINTS = re.compile(r"(?<=[_.])")
"""Places at which a header may break."""


@dataclass(frozen=True, slots=True)
class Block:
    """Some columns of a table, as they are printed.

    Attributes:
        caption: Title of the table, and which block it is.
        headers: Header and whether numbers stand below it.
        rows: Cells.
        total: Last row; empty where there is none.
        is_wide: Whether it takes the whole width of the page.
        is_small: Whether others may stand beside it; it is never parted at the end of a page.
        empty: Headers of columns that are left out because nothing stands in them.
    """

    caption: str
    headers: tuple[tuple[str, bool], ...]
    rows: tuple[tuple[str, ...], ...]
    total: tuple[str, ...]
    is_wide: bool
    is_small: bool
    empty: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing with its caption."""

    caption: str
    note: str
    svg: Markup


@dataclass(frozen=True, slots=True)
class Section:
    """One artefact on the page."""

    id: str
    title: str
    drawings: tuple[Drawing, ...]
    tables: tuple[tuple[tuple[Block, ...], tuple[str, ...]], ...]


def package_html(artefacts: Sequence[Artefact], notation: Notation = PLAIN_NOTATION) -> bytes:
    """Write the artefacts of a package as one HTML page in UTF-8.

    Args:
        artefacts: The artefacts; the first one gives the title.
        notation: How numbers are written.
    """
    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {"breakable": breakable, "css_string": css_string}
    heading = artefacts[0].heading
    title = heading.title.replace(artefacts[0].title, "Quotation package", 1)
    page = environment.get_template("page.html.j2").render(
        title=clean(title),
        running=f"{clean(title)[:RUNNING_LETTERS]}   {heading.content_hash}   {standing_text(heading)}",
        heading=heading,
        standing=standing_text(heading),
        facts=[(label, clean(text)) for label, text in heading_facts(heading) if label not in {"title", "caution"}],
        cautions=heading.cautions,
        sections=[_section(artefact, artefacts, notation) for artefact in artefacts],
    )
    return page.encode()


def _section(artefact: Artefact, artefacts: Sequence[Artefact], notation: Notation) -> Section:
    return Section(
        id=artefact.name,
        title=artefact.title,
        drawings=tuple(_drawings(artefact, artefacts, notation)),
        tables=tuple(_printed(artefact, table, notation) for table in artefact.tables),
    )


def _printed(artefact: Artefact, table: Table, notation: Notation) -> tuple[tuple[Block, ...], tuple[str, ...]]:
    """Return a table as it is printed; of one that is left to the files only how long it is."""
    notes = tuple(map(clean, table.notes))
    if not table.is_detail:
        return tuple(_blocks(table, notation)), notes
    where = "-".join(filter(None, (artefact.name, table.name)))
    return (), (f"{table.title}: {len(table.rows)} rows, in the files named {where}.", *notes)


def _drawings(artefact: Artefact, artefacts: Sequence[Artefact], notation: Notation) -> Iterator[Drawing]:
    record = artefact.record
    if isinstance(record, Summary):
        (standby,) = (own.record for own in artefacts if isinstance(own.record, StandbyBudget))
        for chart in charts(record, standby, notation):
            yield Drawing(chart.title, chart.note, chart_svg(chart))
    if isinstance(record, DiagramSet):
        for own in record.diagrams:
            caption = f"Module {own.module}" if own.module else "The vehicle"
            note = f"currents in {own.mode}" if own.mode else ""
            sheets = diagram_svgs(f"diagram-{own.module or 'vehicle'}", own)
            for number, sheet in enumerate(sheets, start=1):
                of = f", sheet {number} of {len(sheets)}" if len(sheets) > 1 else ""
                yield Drawing(caption + of, note, sheet)


def _blocks(table: Table, notation: Notation) -> Iterator[Block]:
    """Cut a table into blocks of columns that fit on paper."""
    cells = [
        [clean(notation.cell(cell, column)) for cell, column in zip(row, table.columns, strict=True)]
        for row in table.rows
    ]
    total = (
        []
        if table.total is None
        else [clean(notation.cell(cell, column)) for cell, column in zip(table.total, table.columns, strict=True)]
    )
    filled = [
        number
        for number in range(len(table.columns))
        if number < table.keys or any(row[number] for row in (*cells, total) if row)
    ]
    widths = {
        number: _letters(table.columns[number], [row[number] for row in (*cells, total) if row]) for number in filled
    }
    groups = _groups(widths, table.keys)
    empty = [column.header for number, column in enumerate(table.columns) if number not in filled]
    for number, group in enumerate(groups, start=1):
        is_wide = sum(widths[own] for own in group) > PAGE_LETTERS // 2
        part = f", columns {number} of {len(groups)}" if len(groups) > 1 else ""
        yield Block(
            caption=f"{table.title}{part}",
            headers=tuple((table.columns[own].header, table.columns[own].is_numeric) for own in group),
            rows=tuple(tuple(row[own] for own in group) for row in cells),
            total=tuple(total[own] for own in group) if total else (),
            is_wide=is_wide,
            is_small=not is_wide and len(cells) <= SMALL_ROWS,
            empty=tuple(empty) if cells and number == len(groups) else (),
        )


def _letters(column: TableColumn, cells: Sequence[str]) -> int:
    """Return how many letters a column takes at least: words wrap, numbers do not, headers break at their joints."""
    # Headers are bold, which takes a fifth more.
    joints = max(map(len, JOINTS.sub(" ", column.header).split()), default=1) * 6 // 5
    longest = max(map(len, cells), default=0)
    if column.is_numeric:
        return BORDER_LETTERS + max(joints, longest)
    word = max((len(word) for cell in cells for word in cell.split()), default=1)
    return BORDER_LETTERS + max(joints, min(word, WRAPPED_LETTERS), min(longest, WRAPPED_LETTERS))


def breakable(header: str) -> Markup:
    """Return a header that may break after its joints."""
    return Markup("<wbr>").join(part for part in JOINTS.split(header) if part)


def css_string(text: str) -> Markup:
    """Return a text as the inside of a string of a style sheet: whatever is no letter, digit or space is escaped.

    Source: CSS Syntax Module Level 3, clause 4.3.7 (a code point by its hexadecimal number and a space).
    """
    plain = (sign if sign.isascii() and (sign.isalnum() or sign == " ") else f"\\{ord(sign):x} " for sign in text)
    # Nothing of it can end the string, the style element or the page.
    return Markup("".join(plain))  # noqa: S704


def _groups(widths: Mapping[int, int], keys: int) -> list[list[int]]:
    """Return the columns of each block; the first columns, which name the rows, stand in every one."""
    naming = list(range(keys))
    start = sum(widths[number] for number in naming)
    groups: list[list[int]] = [list(naming)]
    used = start
    for number in (own for own in widths if own >= keys):
        if used + widths[number] > PAGE_LETTERS and len(groups[-1]) > keys:
            groups.append(list(naming))
            used = start
        groups[-1].append(number)
        used += widths[number]
    return groups
