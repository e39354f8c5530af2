"""The parts list as a Markdown page that can be read as it stands."""

import re
from collections.abc import Sequence

from bomtui.export.csv import line_cells, total_note
from bomtui.export.facts import heading_facts
from bomtui.export.parts_list_record import PartsListRecord
from bomtui.model.lists import NUMERIC_PARTS_COLUMNS, parts_list_columns
from bomtui.model.plain_text import clean

# CommonMark 0.31, backslash escapes: what would start emphasis, code, a link, a tag or the next cell of a table.
_ACTING = re.compile(r"([\\`*_{}\[\]<>|#~&])")


def parts_list_markdown(record: PartsListRecord) -> bytes:
    """Write a parts list as a Markdown page in UTF-8."""
    facts = [(label, text) for label, text in heading_facts(record) if label not in {"title", "caution"}]
    columns = parts_list_columns(record.currency)
    keys = [column.key for column in columns]
    rows = [[_shown(line_cells(line)[key]) for key in keys] for line in record.lines]
    total = {
        "line": "total",
        "line_price": record.total,
        "excess_per_year": record.excess_per_year,
        "note": escaped(total_note(record)),
    }
    rows.append([total.get(key, "") for key in keys])
    lines = [
        f"# {escaped(record.title)}",
        "",
        *(f"- {label}: {escaped(text)}" for label, text in facts),
        "",
        table_row([escaped(column.header) for column in columns]),
        table_row(["---:" if key in NUMERIC_PARTS_COLUMNS else "---" for key in keys]),
        *map(table_row, rows),
        "",
        *(f"> {escaped(caution)}\n>" for caution in record.cautions[:-1]),
        *(f"> {escaped(caution)}" for caution in record.cautions[-1:]),
    ]
    return ("\n".join(lines) + "\n").encode()


def escaped(text: str) -> str:
    """Return a text as one line in which nothing acts as markup."""
    return _ACTING.sub(r"\\\1", clean(text))


def _shown(cell: object) -> str:
    return "" if cell is None else escaped(str(cell))


def table_row(cells: Sequence[str]) -> str:
    """Write one row of a table from cells that are escaped already."""
    return f"| {' | '.join(cells)} |"
