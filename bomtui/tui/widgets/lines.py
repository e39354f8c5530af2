"""A few fixed lines of differently coloured texts, such as the title, the meters and the keys."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.segment import Segment
from textual.geometry import Size
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

    def rebuild(self, *, keeps_height: bool = False) -> None:
        """Draw what the builder gives now; other widgets move only if the number of lines changes.

        Args:
            keeps_height: Leave lines blank rather than becoming lower.
        """
        before = len(self._lines)
        self._built_for = -1
        after = len(self._lines_for(self.size.width)) if self.size.width else before
        if keeps_height and after < before:
            self._lines = [*self._lines, *[[]] * (before - after)]
            after = before
        self.refresh(layout=before != after)

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
        ground = self.rich_style
        if y >= len(lines):
            return Strip.blank(self.size.width, ground)
        segments = [
            Segment(text, ground + self.get_component_rich_style(f"lines--{style}", partial=True) if style else ground)
            for text, style in lines[y]
        ]
        return Strip(segments).adjust_cell_length(self.size.width, ground)
