"""Small workbooks (ISO/IEC 29500-1) written part by part, so that a test can hold what no library would write."""

import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from xml.sax.saxutils import escape

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
BOOK_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
STYLES = (
    f'<styleSheet xmlns="{MAIN}"><numFmts count="2"><numFmt numFmtId="164" formatCode="0000"/>'
    '<numFmt numFmtId="165" formatCode="yyyy-mm-dd"/></numFmts><cellXfs count="3"><xf numFmtId="0"/>'
    '<xf numFmtId="164"/><xf numFmtId="165"/></cellXfs></styleSheet>'
)

ZEROS = 1
DAY = 2


def text(value: str) -> str:
    """A cell of text, without its address."""
    return f'<c{{at}} t="inlineStr"><is><t xml:space="preserve">{escape(value)}</t></is></c>'


def number(written: str, style: int = 0) -> str:
    """A cell of a number as it stands in the file."""
    return f'<c{{at}} s="{style}"><v>{written}</v></c>'


def formula(written: str, result: str | None = None) -> str:
    """A cell of a formula, with or without its saved result."""
    saved = "<v/>" if result is None else f"<v>{result}</v>"
    return f"<c{{at}}><f>{escape(written)}</f>{saved}</c>"


def fault(value: str) -> str:
    """A cell of a fault value."""
    return f'<c{{at}} t="e"><v>{value}</v></c>'


def sheet(
    rows: Mapping[int, Sequence[str]],
    *,
    hidden_rows: Sequence[int] = (),
    hidden_columns: Sequence[int] = (),
    merges: Sequence[str] = (),
    dimension: str = "",
) -> str:
    """A worksheet: cells by row, an empty text for no cell."""
    size = f'<dimension ref="{dimension}"/>' if dimension else ""
    columns = "".join(f'<col min="{place}" max="{place}" hidden="1"/>' for place in hidden_columns)
    body = ""
    for line, cells in rows.items():
        hidden = ' hidden="1"' if line in hidden_rows else ""
        written = "".join(
            cell.replace("{at}", f' r="{chr(ord("A") + place)}{line}"') for place, cell in enumerate(cells) if cell
        )
        body += f'<row r="{line}"{hidden}>{written}</row>'
    merged = "".join(f'<mergeCell ref="{place}"/>' for place in merges)
    return (
        f'<worksheet xmlns="{MAIN}">{size}'
        f"{f'<cols>{columns}</cols>' if columns else ''}<sheetData>{body}</sheetData>"
        f"{f'<mergeCells>{merged}</mergeCells>' if merged else ''}</worksheet>"
    )


def write_workbook(path: Path, sheets: Mapping[str, str], hidden: Sequence[str] = ()) -> Path:
    """Write a workbook of sheets by name."""

    def state(name: str) -> str:
        return ' state="hidden"' if name in hidden else ""

    names = list(sheets)
    entries = "".join(
        f'<sheet name="{escape(name)}" sheetId="{place}" r:id="rId{place}"{state(name)}/>'
        for place, name in enumerate(names, start=1)
    )
    relations = "".join(
        f'<Relationship Id="rId{place}" Type="{RELATIONS}/worksheet" Target="worksheets/sheet{place}.xml"/>'
        for place, _ in enumerate(names, start=1)
    )
    overrides = "".join(
        f'<Override PartName="/xl/worksheets/sheet{place}.xml" ContentType="{SHEET_TYPE}"/>'
        for place, _ in enumerate(names, start=1)
    )
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" '
        f'ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="{BOOK_TYPE}"/>'
        f"{overrides}</Types>",
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" '
        f'Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONS}"><sheets>{entries}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships">{relations}</Relationships>',
        "xl/styles.xml": STYLES,
        **{f"xl/worksheets/sheet{place}.xml": sheets[name] for place, name in enumerate(names, start=1)},
    }
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, f'<?xml version="1.0" encoding="UTF-8"?>{content}')
    return path
