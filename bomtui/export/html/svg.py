"""Drawings as inline SVG, readable in black and white: a pattern beside every shade, a number beside every bar."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from bomtui.model.plain_text import clean

BAR_HEIGHT = 12
ROW_HEIGHT = 29
LABEL_WIDTH = 190
PLOT_WIDTH = 430
VALUE_WIDTH = 230


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of a chart.

    Attributes:
        value: Its length in the unit of the chart; None where nothing is known.
        text: What stands beside it, with its unit and its bound.
        is_worst: Whether it is of the worst corner: hatched instead of filled.
    """

    value: float | None
    text: str
    is_worst: bool = False


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One row of a chart: a label and one or two bars."""

    label: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart of horizontal bars.

    Attributes:
        id: Unique in its document.
        title: What it shows.
        note: What its bars are.
        rows: Its rows.
    """

    id: str
    title: str
    note: str
    rows: tuple[ChartRow, ...]


def chart_svg(chart: Chart) -> Markup:
    """Draw a chart."""
    longest = max((bar.value for row in chart.rows for bar in row.bars if bar.value is not None), default=0.0)
    width = LABEL_WIDTH + PLOT_WIDTH + VALUE_WIDTH
    height = ROW_HEIGHT * len(chart.rows) + 6
    parts = [_head(chart.id, chart.title, chart.note, width, height), _hatch(chart.id)]
    for number, row in enumerate(chart.rows):
        top = number * ROW_HEIGHT + 4
        parts.append(_text(LABEL_WIDTH - 8, top + BAR_HEIGHT + 4, row.label, "end"))
        gap = (ROW_HEIGHT - 5 - BAR_HEIGHT * len(row.bars)) // 2
        for place, bar in enumerate(row.bars):
            parts.append(_bar(chart.id, bar, top + gap + place * BAR_HEIGHT, longest))
    parts.append(Markup('<line x1="{0}" y1="0" x2="{0}" y2="{1}" class="axis"/>').format(LABEL_WIDTH, height))
    return Markup("").join([*parts, Markup("</svg>")])


def _head(key: str, title: str, note: str, width: int, height: int) -> Markup:
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{0}-t {0}-d" viewBox="0 0 {1} {2}" '
        'class="drawing" style="max-width:{1}px"><title id="{0}-t">{3}</title><desc id="{0}-d">{4}</desc>'
    ).format(key, width, height, clean(title), clean(note))


def _hatch(key: str) -> Markup:
    return Markup(
        '<defs><pattern id="{0}-h" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<rect width="5" height="5" fill="#fff"/><line x1="0" y1="0" x2="0" y2="5" stroke="#333" stroke-width="2"/>'
        "</pattern></defs>"
    ).format(key)


def _bar(key: str, bar: Bar, top: int, longest: float) -> Markup:
    """Draw a bar with its number; of an unknown value only the word stands there."""
    if bar.value is None:
        return _text(LABEL_WIDTH + 6, top + BAR_HEIGHT - 3, bar.text, "start")
    long = max(0.0, bar.value) / longest * PLOT_WIDTH if longest > 0 else 0.0
    fill = f"url(#{key}-h)" if bar.is_worst else "#555"
    drawn = Markup(
        '<rect x="{}" y="{}" width="{:.1f}" height="{}" fill="{}" stroke="#222" stroke-width="0.7"/>'
    ).format(LABEL_WIDTH, top, long, BAR_HEIGHT - 2, fill)
    return drawn + _text(round(LABEL_WIDTH + long) + 6, top + BAR_HEIGHT - 3, bar.text, "start")


def _text(x: float, y: float, text: str, anchor: str, css: str = "") -> Markup:
    return Markup('<text x="{}" y="{}" text-anchor="{}" class="{}">{}</text>').format(x, y, anchor, css, clean(text))


@dataclass(frozen=True, slots=True)
class Box:
    """A box of a block diagram.

    Attributes:
        id: Unique in its drawing.
        column: Column in which it stands, 0 for the leftmost.
        title: First line, printed bold.
        lines: Further lines.
        fed_by: Boxes from which a line leads to it.
    """

    id: str
    column: int
    title: str
    lines: tuple[str, ...]
    fed_by: tuple[str, ...]


def box_height(box: Box) -> int:
    """Return the height of a box."""
    return LINE * (1 + len(box.lines)) + 8


LINE = 12
LETTER = 7
GAP = 8
GUTTER = 70
COLUMN_WIDTHS = (150, 190, 220, 150, 360)


def boxes_svg(key: str, title: str, note: str, boxes: Sequence[Box]) -> Markup:
    """Draw boxes in columns with the lines that feed them; a line turns in a track of its own."""
    used = sorted({box.column for box in boxes})
    left: dict[int, int] = {}
    x = 2
    for column in used:
        left[column] = x
        x += COLUMN_WIDTHS[column] + GUTTER
    placed: dict[str, tuple[int, int, int, int]] = {}
    bottom = 0
    for column in used:
        y = 2
        for box in (own for own in boxes if own.column == column):
            high = box_height(box)
            placed[box.id] = (left[column], y, COLUMN_WIDTHS[column], high)
            y += high + GAP
        bottom = max(bottom, y)
    width = x - GUTTER + 2
    parts = [_head(key, title, note, width, bottom)]
    parts += _wires(boxes, placed)
    for box in boxes:
        parts += _box(box, placed[box.id])
    return Markup("").join([*parts, Markup("</svg>")])


def _box(box: Box, place: tuple[int, int, int, int]) -> Iterable[Markup]:
    x, y, width, height = place
    yield Markup('<rect x="{}" y="{}" width="{}" height="{}" rx="2" class="block"/>').format(x, y, width, height)
    yield _text(x + 5, y + LINE, _cut(box.title, width), "start", "strong")
    for number, line in enumerate(box.lines, start=2):
        yield _text(x + 5, y + LINE * number, _cut(line, width), "start")


def _cut(text: str, width: int) -> str:
    """Return a text that fits into a box: by the width of a bold letter."""
    room = (width - 8) // LETTER
    return text if len(text) <= room else f"{text[: room - 1]}\N{HORIZONTAL ELLIPSIS}"


def _wires(boxes: Sequence[Box], placed: dict[str, tuple[int, int, int, int]]) -> Iterable[Markup]:
    sources = [box.id for box in boxes if any(box.id in other.fed_by for other in boxes)]
    by_column: dict[int, list[str]] = {}
    for box in boxes:
        if box.id in sources:
            by_column.setdefault(placed[box.id][0], []).append(box.id)
    for box in boxes:
        x, y, _, high = placed[box.id]
        for number, source in enumerate(own for own in box.fed_by if own in placed):
            from_x, from_y, wide, from_high = placed[source]
            peers = by_column[from_x]
            step = (GUTTER - 20) / max(1, len(peers))
            track = from_x + wide + 10 + round(peers.index(source) * step)
            end_y = y + min(high - 3, 8 + 5 * number)
            yield Markup('<path d="M{} {} H{} V{} H{}" class="wire"/>').format(
                from_x + wide, from_y + from_high // 2, track, end_y, x
            )
            yield Markup('<circle cx="{}" cy="{}" r="2"/>').format(x, end_y)
