"""The HTML page: complete, without anything that runs or is fetched, tables that fit, names that cannot act."""

import re
from html.parser import HTMLParser

import msgspec
import pytest

from bomtui.export.html.block_diagram import SHEET_HEIGHT, _sheets
from bomtui.export.html.page import PAGE_LETTERS, breakable, css_string, package_html
from bomtui.export.html.svg import GAP, Box, box_height
from bomtui.export.notation import Notation
from bomtui.export.package.artefact import Artefact
from bomtui.export.table import Table, TableColumn
from tests.services.package.sample import gathered

VOID = {"meta", "br", "wbr", "line", "rect", "circle", "path", "img", "hr", "link"}


class _Reader(HTMLParser):
    """Reads a page strictly: every element is closed in its turn."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.text: list[str] = []
        self.rows: list[list[int]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        known = dict(attrs)
        if "id" in known:
            self.ids.append(str(known["id"]))
        self.links += [str(known[name]) for name in ("href", "src", "action", "xlink:href") if name in known]
        assert not [name for name in known if name.startswith("on")]
        if tag == "table":
            self.rows.append([])
        elif tag == "tr":
            self.rows[-1].append(0)
        elif tag in {"td", "th"}:
            self.rows[-1][-1] += 1
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def _read(data: bytes) -> _Reader:
    reader = _Reader()
    reader.feed(data.decode())
    assert reader.open == []
    return reader


def _page(artefacts: dict[str, Artefact]) -> _Reader:
    return _read(package_html(list(artefacts.values())))


def test_the_page_is_whole_and_asks_for_nothing() -> None:
    """Every artefact has its section, every table full rows below a head, and nothing runs or is fetched."""
    artefacts = gathered()
    reader = _page(artefacts)
    assert len(reader.ids) == len(set(reader.ids))
    assert set(artefacts) <= set(reader.ids)
    assert {"script", "img", "link", "iframe", "object"}.isdisjoint(reader.tags)
    assert all(link.startswith("#") and link[1:] in reader.ids for link in reader.links)
    assert reader.tags.count("thead") == reader.tags.count("table") == reader.tags.count("caption") > 20
    assert all(len(set(rows)) == 1 for rows in reader.rows)
    # Charts, the vehicle, and five modules, of which two need a second sheet.
    assert reader.tags.count("svg") == 4 + 1 + 5 + 2
    text = " ".join(reader.text)
    for wanted in ("NOT SENDABLE: 96 open errors", "DEMO DATA", "invented parts", "content hash", "corner", "439.2334"):
        assert wanted in text


def test_the_style_fetches_nothing() -> None:
    """The style of the page names no address."""
    page = package_html(list(gathered().values())).decode()
    addresses = set(re.findall(r"(?:https?:)?//[^\s\"'<>]+", page))
    assert addresses <= {"http://www.w3.org/2000/svg"}
    assert "@import" not in page
    assert re.findall(r"url\((?!#)", page) == []


def test_names_cannot_act() -> None:
    """A title and a name full of markup stand on the page as they were typed."""
    hostile = "</style><script>alert(1)</script> \"x' & {{ 7*7 }}"
    artefacts = gathered()
    first = artefacts["summary"]
    assert isinstance(first.record, type(first.heading))
    heading = msgspec.structs.replace(first.record, title=f"Summary: {hostile}")
    table = Table("", hostile, (TableColumn(hostile),), ((hostile,),), (hostile,))
    summary = Artefact(first.name, first.title, heading, heading, (table,))
    data = package_html([summary, artefacts["standby-budget"]])
    reader = _read(data)
    assert "script" not in reader.tags
    assert " ".join(reader.text).count("alert(1)") >= 5
    assert "{{ 7*7 }}" in " ".join(reader.text)


def test_wide_tables_are_cut_into_blocks_that_name_their_rows() -> None:
    """No block is wider than the paper, each begins with the naming column, and every filled column stands once."""
    columns = tuple(TableColumn(f"column_{number}") for number in range(40))
    row = tuple(f"cell{number:02}" * 3 for number in range(39))
    table = Table("", "Wide", columns, ((*row, None),))
    first = gathered()["summary"]
    wide = Artefact("wide", "Wide", first.heading, first.record, (table,))
    page = package_html([first, gathered()["standby-budget"], wide]).decode().partition('<section id="wide"')[2]
    blocks = page.split("<table>")[1:]
    heads = [re.findall(r'<th scope="col">(.*?)</th>', block) for block in blocks]
    assert len(blocks) > 2
    assert {head[0] for head in heads} == {"column_<wbr>0"}
    assert [own for head in heads for own in head[1:]] == [f"column_<wbr>{number}" for number in range(1, 39)]
    assert all(len(head) * 20 <= PAGE_LETTERS for head in heads)
    assert "Nothing is given for: column_39." in page


@pytest.mark.parametrize(
    ("text", "written"), [("Zone 4", "Zone 4"), ('"}', r"\22 \7d "), ("\\", r"\5c "), ("\N{EURO SIGN}", r"\20ac ")]
)
def test_text_in_a_style_is_escaped(text: str, written: str) -> None:
    """No sign can end a string of the style sheet."""
    assert css_string(text) == written


def test_headers_break_at_their_joints() -> None:
    """A long header may break after a point or an underscore, and is escaped."""
    assert breakable("time_share.<P>") == "time_<wbr>share.<wbr>&lt;P&gt;"


def test_numbers_follow_the_notation() -> None:
    """A decimal comma and a currency behind amounts reach tables and drawings."""
    notation = Notation(decimal_comma=True, separator=";", currency="symbol")
    page = package_html(list(gathered().values()), notation).decode()
    assert "439,2334 \N{EURO SIGN}" in page
    assert "439.2334" not in page


def test_repeats_are_byte_equal() -> None:
    """The same artefacts give the same bytes."""
    artefacts = list(gathered().values())
    assert package_html(artefacts) == package_html(artefacts)


def test_a_long_diagram_stands_on_several_sheets() -> None:
    """Every chip stands on one sheet, none is higher than paper, and what leads to the chips stands beside them."""
    boxes = [
        Box("battery", 0, "battery", (), ()),
        Box("feed", 0, "feed", (), ("battery",)),
        Box("module", 1, "module", (), ("feed",)),
        Box("rail idle", 3, "rail without chips", (), ("module",)),
        Box("rail", 3, "rail", (), ("module",)),
        *(Box(f"chip {number}", 4, f"U{number}", ("drives L1",), ("rail",)) for number in range(60)),
    ]
    sheets = list(_sheets(boxes))
    chips = [[box.id for box in sheet if box.column == 4] for sheet in sheets]
    assert len(sheets) == 4
    assert [own for sheet in chips for own in sheet] == [f"chip {number}" for number in range(60)]
    for number, sheet in enumerate(sheets):
        assert sum(box_height(box) + GAP for box in sheet if box.column == 4) <= SHEET_HEIGHT
        ids = {box.id for box in sheet}
        assert {"battery", "feed", "module", "rail"} <= ids
        assert ("rail idle" in ids) is (number == 0)
    assert list(_sheets(boxes[:5])) == [boxes[:5]]
