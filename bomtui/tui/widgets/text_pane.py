"""A text that can be longer than its place: wrapped at spaces, scrolled by keys."""

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import BindingType
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from bomtui.tui.text import fit, wrap
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.lines import STYLES

TextLine = tuple[str, str]
"""A line and what it is: a state, `quiet`, `key`, `strong`, or nothing."""


class TextPane(ScrollView, can_focus=True, inherit_bindings=False):
    """A text of any length.

    Args:
        id: Id of the widget.
    """

    ALLOW_SELECT = False
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("text")]
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"text--{style}" for style in STYLES}
    DEFAULT_CSS = """
    TextPane {
        height: 1fr; width: 1fr; scrollbar-size: 0 1; scrollbar-gutter: stable; overflow-x: hidden; overflow-y: auto;
    }
    """

    def __init__(self, *, id: str) -> None:  # noqa: A002 - the library's word
        super().__init__(id=id)
        self._text: tuple[TextLine, ...] = ()
        self._wrapped: list[TextLine] = []
        self._wrapped_for = -1

    def set_text(self, lines: Sequence[TextLine]) -> None:
        """Show other lines, from the first one on."""
        self._text = tuple(lines)
        self._wrapped_for = -1
        self._wrap()
        self.scroll_to(y=0, animate=False)
        self.refresh()

    @property
    def plain(self) -> str:
        """The wrapped text."""
        return "\n".join(text for text, _ in self._wrapped)

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - the library's call
        """Wrap for the new width."""
        self._wrap()

    def _wrap(self) -> None:
        width = self.scrollable_content_region.width
        if width < 1 or width == self._wrapped_for:
            return
        self._wrapped = [(piece, style) for text, style in self._text for piece in wrap(text, width)]
        self._wrapped_for = width
        self.virtual_size = Size(width, len(self._wrapped))
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One line of the text."""
        width = self.scrollable_content_region.width
        index = self.scroll_offset.y + y
        ground = self.rich_style
        if index >= len(self._wrapped):
            return Strip.blank(width, ground)
        text, style = self._wrapped[index]
        if style:
            ground += self.get_component_rich_style(f"text--{style}", partial=True)
        return Strip([Segment(fit(text, width), ground)], width)

    def _move(self, lines: int) -> None:
        self.scroll_to(y=self.scroll_offset.y + lines, animate=False)

    def action_up(self) -> None:
        """One line up."""
        self._move(-1)

    def action_down(self) -> None:
        """One line down."""
        self._move(1)

    def action_page_up(self) -> None:
        """One page up."""
        self._move(1 - self.size.height)

    def action_page_down(self) -> None:
        """One page down."""
        self._move(self.size.height - 1)

    def action_first(self) -> None:
        """To the beginning."""
        self.scroll_to(y=0, animate=False)

    def action_last(self) -> None:
        """To the end."""
        self.scroll_to(y=len(self._wrapped), animate=False)
