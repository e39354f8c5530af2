"""Tables of an artefact as CSV, and an artefact as a Markdown page.

A CSV file holds one table: the header, the rows, the row of totals, then rows that begin with `about` (with `#` in a
load list, which a reader of load lists leaves out) and hold the notes and the heading. Cells are written as in
`bomtui.export.csv`.
"""

from collections.abc import Iterator, Sequence

from bomtui.export.csv import ABOUT, Numeral, cell_text
from bomtui.export.facts import heading_facts
from bomtui.export.markdown import escaped, table_row
from bomtui.export.notation import PLAIN_NOTATION, Notation
from bomtui.export.package.artefact import Artefact
from bomtui.export.package.loads import NAME as LOAD_LIST
from bomtui.export.table import Cell, FigureCell, Table, flat
from bomtui.model.lists import REMARK


def artefact_csv(artefact: Artefact, table: Table, notation: Notation = PLAIN_NOTATION) -> bytes:
    """Write one table of an artefact as CSV in UTF-8."""
    plain = flat(table)
    rows: list[Sequence[Cell]] = [[column.header for column in plain.columns], *plain.rows]
    if plain.total is not None:
        rows.append(plain.total)
    rows += _about_rows(artefact, plain)
    return "".join(notation.separator.join(_csv_cell(cell, notation) for cell in row) + "\n" for row in rows).encode()


def _csv_cell(cell: Cell, notation: Notation) -> str:
    if isinstance(cell, FigureCell):
        raise TypeError("a figure has several cells in a CSV file")
    return cell_text(Numeral(notation.number(cell)) if isinstance(cell, Numeral) else cell)


def _about_rows(artefact: Artefact, table: Table) -> Iterator[tuple[Cell, ...]]:
    keys = [column.key for column in table.columns]
    place = keys.index("description") if "description" in keys else 1
    for label, text in (*(("note", note) for note in table.notes), *heading_facts(artefact.heading)):
        row: list[Cell] = [None] * len(keys)
        if artefact.name == LOAD_LIST:
            row[0] = f"{REMARK} {label}: {text}"
        else:
            row[0], row[place] = ABOUT, f"{label}: {text}"
        yield tuple(row)


def artefact_markdown(artefact: Artefact, notation: Notation = PLAIN_NOTATION) -> bytes:
    """Write an artefact as a Markdown page in UTF-8."""
    heading = artefact.heading
    facts = [(label, text) for label, text in heading_facts(heading) if label not in {"title", "caution"}]
    lines = [f"# {escaped(heading.title)}", "", *(f"- {label}: {escaped(text)}" for label, text in facts)]
    for table in artefact.tables:
        lines += ["", f"## {escaped(table.title)}", "", *_markdown_table(table, notation)]
    lines += ["", *(f"> {escaped(caution)}\n>" for caution in heading.cautions[:-1])]
    lines += [f"> {escaped(caution)}" for caution in heading.cautions[-1:]]
    return ("\n".join(lines) + "\n").encode()


def _markdown_table(table: Table, notation: Notation) -> Iterator[str]:
    if not table.rows:
        yield "Nothing to list."
    else:
        yield table_row([escaped(column.header) for column in table.columns])
        yield table_row(["---:" if column.is_numeric else "---" for column in table.columns])
        for row in (*table.rows, *([] if table.total is None else [table.total])):
            cells = zip(row, table.columns, strict=True)
            yield table_row([escaped(notation.cell(cell, column)) for cell, column in cells])
    for note in table.notes:
        yield ""
        yield escaped(note)
