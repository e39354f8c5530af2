"""A few fixed lines of differently coloured texts, such as the title, the meters and the keys."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from bomtui.tui.text import cell

Span = tuple[str, str]
"""A text and what it is: a state, `quiet`, `key`, `strong`, or nothing."""
SpanLine = Sequence[Span]
STYLES = frozenset({"ok", "check", "over", "unknown", "note", "quiet", "key", "strong"})


class Lines(Widget):
    """Lines that are built for the width at hand; as high as they are many.

    Args:
        build: Gives the lines for a width in cells.
        id: Id of the widget.
    """

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"lines--{style}" for style in STYLES}
    DEFAULT_CSS = "Lines { height: auto; width: 1fr; }"

    def __init__(self, build: Callable[[int], Sequence[SpanLine]], *, id: str) -> None:  # noqa: A002 - the library's word
        super().__init__(id=id)
        self._build = build
        self._lines: Sequence[SpanLine] = ()
        self._built_for = -1
        self._looks: dict[str, Style] = {}

    def notify_style_update(self) -> None:
        """Forget the styles: colours changed."""
        super().notify_style_update()
        self._looks.clear()

    def _look(self, name: str) -> Style:
        """The style of a text; the library would look it up anew after every change of a text."""
        if name not in self._looks:
            own = self.get_component_rich_style(f"lines--{name}", partial=True) if name else Style()
            self._looks[name] = self.rich_style + own
        return self._looks[name]

    def rebuild(self, *, keeps_height: bool = False) -> None:
        """Draw what the builder gives now; other widgets move only if the number of lines changes.

        Args:
            keeps_height: Leave lines blank rather than becoming lower.
        """
        width, before, drawn_for = self.size.width, self._lines, self._built_for
        self._built_for = -1
        if not width:
            return
        after = self._lines_for(width)
        if keeps_height and len(after) < len(before):
            after = self._lines = [*after, *[[]] * (len(before) - len(after))]
        if drawn_for != width or len(after) != len(before):
            self.refresh(layout=len(after) != len(before))
            return
        for y, (old, new) in enumerate(zip(before, after, strict=True)):
            if old != new:
                self.refresh(Region(0, y, width, 1))

    @property
    def plain(self) -> str:
        """The texts as they stand on the screen."""
        return "\n".join("".join(text for text, _ in line) for line in self._lines_for(self.size.width))

    def _lines_for(self, width: int) -> Sequence[SpanLine]:
        if width != self._built_for:
            self._lines = [[(cell(text), style) for text, style in line] for line in self._build(width)]
            self._built_for = width
        return self._lines

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002 - the library's call
        """Number of lines."""
        return len(self._lines_for(width))

    def render_line(self, y: int) -> Strip:
        """One line, cut at the width."""
        lines = self._lines_for(self.size.width)
        if y >= len(lines):
            return Strip.blank(self.size.width, self._look(""))
        segments = [Segment(text, self._look(style)) for text, style in lines[y]]
        return Strip(segments).adjust_cell_length(self.size.width, self._look(""))
