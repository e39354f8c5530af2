"""A block diagram as text: one block a line, what feeds it on the left, its current on the right."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from bomtui.model.diagram import BATTERY_BLOCK, Block, Diagram, block_id
from bomtui.model.plain_text import clean, columns_of
from bomtui.services.present import aligned_text, corners_text

LEAST_TITLE = 12
"""Columns that a title keeps where the line is short."""
CURRENT_WIDTH = 9
CHIP_WIDTH = 20
"""Columns of a chip with its brackets; a longer one makes its own line wider."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Signs of a drawing.

    Attributes:
        tee: A branch with more behind it.
        corner: The last branch.
        down: A line that goes on.
        level: A level line.
        fork: A level line from which further ones branch off.
        more: Ends a title that had to be cut.
    """

    tee: str
    corner: str
    down: str
    level: str
    fork: str
    more: str


FULL_STROKES = Strokes("├", "└", "│", "─", "┬", "…")
ASCII_STROKES = Strokes("+", "`", "|", "-", "+", "~")


class DrawnLine(NamedTuple):
    """One line of a drawing, and whether it is a headline."""

    text: str
    is_head: bool = False


def diagram_lines(diagram: Diagram, width: int, strokes: Strokes = FULL_STROKES) -> tuple[DrawnLine, ...]:
    """Draw a diagram.

    Args:
        diagram: The diagram.
        width: Columns that no line exceeds.
        strokes: Signs of the drawing.
    """
    pen = _Pen(diagram, width, strokes)
    lines = list(pen.module() if diagram.module else pen.vehicle())
    lines += pen.networks()
    if diagram.open:
        lines += [DrawnLine(""), DrawnLine("not shown, because the proposal does not say it", is_head=True)]
        lines += [DrawnLine(pen.fitted(f"  {text}")) for text in diagram.open]
    return tuple(lines)


def currents_text(diagram: Diagram) -> str:
    """Say what the currents of a diagram are."""
    if not diagram.mode:
        return "No mode has the electronics awake: no currents."
    return (
        f"Currents in {diagram.mode}: typical means; of battery, feeds and modules with their electronics, the largest"
        " with all loads of the mode on and one inrush. What is switched towards ground takes its plus elsewhere and"
        " is in the current of no feed. Rails: what chips draw, loads through them not counted."
    )


class _Pen:
    """Draws one diagram."""

    def __init__(self, diagram: Diagram, width: int, strokes: Strokes) -> None:
        self._diagram = diagram
        self._width = width
        self._strokes = strokes
        self._told: set[str] = set()
        """Blocks whose current stands in a line already: it flows once, however many chips are in its way."""

    def vehicle(self) -> Iterator[DrawnLine]:
        """Battery, feeds, modules."""
        diagram = self._diagram
        battery = diagram.blocks[BATTERY_BLOCK]
        yield self._head(f"battery {battery.title}", battery)
        direct = [block for block in diagram.targets(BATTERY_BLOCK, "supply") if block.kind == "module"]
        feeds = [block for block in diagram.targets(BATTERY_BLOCK, "supply") if block.kind == "feed"]
        rows: list[tuple[Block | None, list[Block]]] = [(feed, self._fed(feed)) for feed in feeds]
        if direct:
            rows.append((None, direct))
        for number, (feed, modules) in enumerate(rows):
            yield from self._branch(feed, modules, is_last=number == len(rows) - 1)

    def _fed(self, feed: Block) -> list[Block]:
        return [block for block in self._diagram.targets(feed.id, "supply") if block.kind == "module"]

    def _branch(self, feed: Block | None, modules: Sequence[Block], *, is_last: bool) -> Iterator[DrawnLine]:
        strokes = self._strokes
        start = (strokes.corner if is_last else strokes.tee) + strokes.level
        yield self._line(f" {start} {'no feed named' if feed is None else self._feed_text(feed)}", feed)
        guide = " " if is_last else strokes.down
        for number, block in enumerate(modules):
            branch = strokes.corner if number == len(modules) - 1 else strokes.tee
            title = f"{block.title}  {block.note}" if block.title else block.note
            yield self._line(f" {guide}  {branch}{strokes.level}[{block.name}] {title}", block)

    def _feed_text(self, feed: Block) -> str:
        grounds = [ground.name for ground in self._diagram.targets(feed.id, "return")]
        back = f"ground {', '.join(grounds)}" if grounds else "ground not named"
        return f"feed {feed.name}  {feed.note}  {back}".replace("    ", "  ")

    def module(self) -> Iterator[DrawnLine]:
        """One module: what comes in from the battery, then rail by rail what hangs on it."""
        diagram = self._diagram
        own = diagram.blocks[block_id("module", diagram.module)]
        yield self._head(f"{own.name} {own.title}  {own.note}", own)
        yield DrawnLine("")
        feeds = [block for block in diagram.sources(own.id, "supply") if block.kind == "feed"]
        start = f"battery {diagram.blocks[BATTERY_BLOCK].title} {self._strokes.level}"
        for feed in feeds:
            yield DrawnLine(self._line(f"{start} {self._feed_text(feed)}", feed).text, is_head=True)
        if not feeds:
            yield DrawnLine(self.fitted(f"{start} no feed named"), is_head=True)
        yield from self._chips(diagram.targets(own.id, "supply"), ())
        for rail in (block for block in diagram.blocks.values() if block.kind == "rail"):
            yield DrawnLine("")
            sources = ", ".join(self._short(block) for block in diagram.sources(rail.id, "supply"))
            name = rail.name.partition(".")[2]
            origin = f"from {sources}" if sources else "from nothing"
            yield self._head(f"{name} {rail.title} {self._strokes.level} {origin}; chips draw", rail)
            targets = diagram.targets(rail.id, "supply")
            loads = tuple(block for block in targets if block.kind == "load")
            yield from self._chips([block for block in targets if block.kind == "chip"], loads)
        rest = [block for block in diagram.blocks.values() if block.kind == "chip" and not self._is_fed(block)]
        shown = [chip for chip in rest if self._behind(chip) and not self._is_stage(chip)]
        if shown:
            yield DrawnLine("")
            yield DrawnLine("on no rail", is_head=True)
            yield from self._chips(shown, ())

    def _is_stage(self, chip: Block) -> bool:
        """Tell whether a chip only carries the current of loads that another one drives."""
        driven = self._diagram.targets(chip.id, "drive")
        fed = (any(map(self._is_fed, self._diagram.sources(load.id, "drive"))) for load in driven)
        return bool(driven) and not self._is_fed(chip) and all(fed)

    def _load_text(self, load: Block, chip: Block) -> str:
        """A load behind a chip, with the stage that carries its current."""
        others = (own for own in self._diagram.sources(load.id, "drive") if own.id != chip.id and self._is_stage(own))
        stage = " ".join(map(self._short, others))
        return f"{load.name} {load.title}{f' over {stage}' if stage else ''}"

    def _is_fed(self, chip: Block) -> bool:
        return bool(self._diagram.sources(chip.id, "supply"))

    def _short(self, block: Block) -> str:
        """Name of a chip or rail inside its module."""
        return block.name.partition(".")[2] or block.name

    def _chips(self, chips: Sequence[Block], loads: Sequence[Block]) -> Iterator[DrawnLine]:
        strokes = self._strokes
        count = len(chips) + len(loads)
        for number, block in enumerate((*chips, *loads)):
            is_last = number == count - 1
            start = f" {strokes.corner if is_last else strokes.tee}{strokes.level}"
            if block.kind == "load":
                yield self._line(f"{start} {block.name} {block.title}", block)
                continue
            yield from self._chip(block, start, " " if is_last else strokes.down)

    def _chip(self, chip: Block, start: str, guide: str) -> Iterator[DrawnLine]:
        strokes = self._strokes
        label = f"[{self._short(chip)} {chip.title}]"
        label += strokes.level * (CHIP_WIDTH - len(label))
        behind = self._behind(chip)
        if not behind:
            yield DrawnLine(self.fitted(f"{start}{label.rstrip(strokes.level)}"))
            return
        blank = f" {guide} {' ' * len(label)}"
        for number, (text, block) in enumerate(behind):
            is_last = number == len(behind) - 1
            if number == 0:
                joint = f"{start}{label}{strokes.level if is_last else strokes.fork}{strokes.level} "
            else:
                joint = f"{blank}{strokes.corner if is_last else strokes.tee}{strokes.level} "
            yield self._line(f"{joint}{text}", block)

    def _behind(self, chip: Block) -> list[tuple[str, Block | None]]:
        """What hangs behind a chip: its rails, its loads, what it commands and reads, what is free."""
        diagram = self._diagram
        rows: list[tuple[str, Block | None]] = [
            (f"{self._short(block)} {block.title}", None) for block in diagram.targets(chip.id, "supply")
        ]
        rows += [(self._load_text(block, chip), block) for block in diagram.targets(chip.id, "drive")]
        commanded = [self._short(block) for block in diagram.targets(chip.id, "command")]
        read = [block.name for block in diagram.sources(chip.id, "read")]
        room = max(LEAST_TITLE, self._width - CHIP_WIDTH - CURRENT_WIDTH - 8)
        rows += [(text, None) for text in _flowed("commands", commanded, room)]
        rows += [(text, None) for text in _flowed("reads", read, room)]
        if chip.note:
            rows.append((chip.note, None))
        return rows

    def networks(self) -> Iterator[DrawnLine]:
        """Networks with their nodes."""
        diagram, strokes = self._diagram, self._strokes
        networks = [block for block in diagram.blocks.values() if block.kind == "network"]
        if networks:
            yield DrawnLine("")
            yield DrawnLine("networks", is_head=True)
        for number, block in enumerate(networks):
            start = strokes.corner if number == len(networks) - 1 else strokes.tee
            nodes = [
                self._short(node) if node.kind == "chip" else node.name for node in diagram.targets(block.id, "network")
            ]
            yield DrawnLine(self.fitted(f" {start}{strokes.level} {block.name} {block.title}: {' '.join(nodes)}"))

    def _head(self, text: str, block: Block) -> DrawnLine:
        """A headline with both corners of its current."""
        figure = block.current_a
        if figure is None:
            return DrawnLine(self.fitted(text), is_head=True)
        current = corners_text(figure, "current", with_count=False)
        return DrawnLine(_joined(text, current, self._width, self._strokes.more), is_head=True)

    def _line(self, text: str, block: Block | None) -> DrawnLine:
        """A line with the typical current of its block."""
        if block is None or block.current_a is None or block.id in self._told:
            return DrawnLine(self.fitted(text))
        self._told.add(block.id)
        current = f"{aligned_text(block.current_a.typ, 'current', 'A', 3)} A"
        return DrawnLine(_joined(text, current, self._width, self._strokes.more))

    def fitted(self, text: str) -> str:
        """Return a text that takes no more columns than there are."""
        return _cut(clean(text), self._width, self._strokes.more)


def _joined(text: str, current: str, width: int, more: str) -> str:
    room = max(LEAST_TITLE, width - len(current) - 2)
    shown = _cut(clean(text), room, more)
    return f"{shown}{' ' * (room - columns_of(shown))}  {current}"


def _cut(text: str, width: int, more: str) -> str:
    """Return a text that takes no more columns; its end is replaced where it is longer."""
    if columns_of(text) <= width:
        return text
    kept = text
    while kept and columns_of(kept) > width - len(more):
        kept = kept[:-1]
    return kept + more


def _flowed(word: str, names: Sequence[str], width: int) -> Iterator[str]:
    """Write names behind a word, in as many lines as they need."""
    line = word
    for name in names:
        if len(line) + 1 + len(name) > width and line != word:
            yield line
            line = word
        line = f"{line} {name}"
    if names:
        yield line
