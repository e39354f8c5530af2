"""A block diagram as boxes in columns: battery, feeds, what makes rails, rails, and what hangs on them."""

import textwrap
from collections.abc import Iterator, Mapping

from markupsafe import Markup

from bomtui.export.diagram_record import BlockRecord, DiagramRecord
from bomtui.export.html.svg import GAP, Box, box_height, boxes_svg
from bomtui.export.records import Bounded
from bomtui.model.quantity import display

BATTERY, FEEDS, SOURCES, RAILS, CHIPS = range(5)
"""Columns."""
SHEET_HEIGHT = 780
"""Height of the last column at which a drawing as wide as a page is as high as one, its heading left out."""
_LINE_LETTERS = 54


def diagram_svgs(key: str, record: DiagramRecord) -> list[Markup]:
    """Draw a block diagram, on as many sheets as it needs to be read on paper.

    Args:
        key: Unique in its document.
        record: The diagram.

    Returns:
        The sheets; each has some of the chips, and whatever leads to these.
    """
    what = f"Block diagram of {record.module}" if record.module else "Block diagram of the vehicle"
    note = f"Boxes from battery to chips with what feeds them; currents in {record.mode}." if record.mode else what
    sheets = list(_sheets(list(_Boxes(record).boxes())))
    if len(sheets) == 1:
        return [boxes_svg(key, what, note, sheets[0])]
    return [
        boxes_svg(f"{key}-{number}", f"{what}, sheet {number} of {len(sheets)}", note, sheet)
        for number, sheet in enumerate(sheets, start=1)
    ]


def _sheets(boxes: list[Box]) -> Iterator[list[Box]]:
    """Cut a drawing whose last column is longer than a sheet; what leads to no chip stands on the first sheet."""
    chips = [box for box in boxes if box.column == CHIPS]
    parts: list[list[Box]] = [[]]
    high = 0
    for chip in chips:
        if parts[-1] and high + box_height(chip) + GAP > SHEET_HEIGHT:
            parts.append([])
            high = 0
        parts[-1].append(chip)
        high += box_height(chip) + GAP
    by_id = {box.id: box for box in boxes}
    leading = _leading(by_id, [box.id for box in chips])
    for number, part in enumerate(parts):
        wanted = _leading(by_id, [box.id for box in part])
        if not number:
            wanted |= by_id.keys() - leading
        yield [box for box in boxes if box.id in wanted]


def _leading(boxes: Mapping[str, Box], ends: list[str]) -> set[str]:
    """Return some boxes with all from which lines lead to them."""
    found: set[str] = set()
    waiting = list(ends)
    while waiting:
        own = waiting.pop()
        if own in boxes and own not in found:
            found.add(own)
            waiting += boxes[own].fed_by
    return found


class _Boxes:
    """The boxes of one diagram."""

    def __init__(self, record: DiagramRecord) -> None:
        self._record = record
        self._blocks: Mapping[str, BlockRecord] = {block.id: block for block in record.blocks}

    def boxes(self) -> Iterator[Box]:
        """Yield the boxes column by column."""
        own = f"module {self._record.module}"
        for block in self._blocks.values():
            if block.kind in {"battery", "feed", "rail", "chip", "network"} or (
                block.kind == "module" and (not self._record.module or block.id == own)
            ):
                yield self._box(block)

    def _box(self, block: BlockRecord) -> Box:
        # A feed stands below the battery of its module: no line leads back into the column.
        fed_by = (
            ()
            if self._record.module and block.kind == "feed"
            else tuple(link.source for link in self._record.links if (link.target, link.kind) == (block.id, "supply"))
        )
        column = self._column(block)
        title = f"{self._name(block)} {block.title}".strip()
        lines = [text for text in (block.note, _current(block.current_a)) if text]
        if block.kind == "chip":
            lines = [*self._chip_lines(block), *lines]
        if block.kind == "feed":
            grounds = self._joined(block.id, "return", outward=True)
            lines.append(f"ground {' '.join(grounds)}" if grounds else "ground not named")
        if block.kind == "network":
            lines += textwrap.wrap(" ".join(self._joined(block.id, "network", outward=True)), _LINE_LETTERS)
        return Box(block.id, column, title, tuple(lines), fed_by)

    def _column(self, block: BlockRecord) -> int:
        if block.kind == "chip":
            return SOURCES if self._makes_rails(block) else CHIPS
        # In the drawing of a module its feeds stand beside the battery, and it where the feeds of the vehicle stand.
        of_module = {"battery": BATTERY, "feed": BATTERY, "module": FEEDS, "rail": RAILS}
        of_vehicle = {"battery": BATTERY, "feed": FEEDS, "module": SOURCES}
        return (of_module if self._record.module else of_vehicle).get(block.kind, CHIPS)

    def _makes_rails(self, block: BlockRecord) -> bool:
        return any(link.source == block.id and link.target.startswith("rail ") for link in self._record.links)

    def _chip_lines(self, block: BlockRecord) -> Iterator[str]:
        for word, kind, outward in (("drives", "drive", True), ("reads", "read", False), ("commands", "command", True)):
            names = self._joined(block.id, kind, outward=outward)
            if names:
                yield from textwrap.wrap(f"{word} {' '.join(names)}", _LINE_LETTERS)

    def _joined(self, block: str, kind: str, *, outward: bool) -> list[str]:
        found = [
            link.target if outward else link.source
            for link in self._record.links
            if link.kind == kind and (link.source if outward else link.target) == block
        ]
        return [self._name(self._blocks[other]) for other in found]

    def _name(self, block: BlockRecord) -> str:
        """Name of a block inside its module."""
        if block.kind == "battery":
            return "battery"
        module, dot, rest = block.name.partition(".")
        return rest if dot and module == self._record.module else block.name


def _current(figure: Bounded | None) -> str:
    if figure is None or figure.typ is None:
        return "" if figure is None else "current unknown"
    sign = {"exact": "", "at_least": ">= ", "at_most": "<= "}[figure.bound]
    largest = (
        "" if figure.max is None or figure.max == figure.typ else f", max {display(figure.max, 'current', digits=3)}"
    )
    return f"{sign}{display(figure.typ, 'current', digits=3)}{largest}"
