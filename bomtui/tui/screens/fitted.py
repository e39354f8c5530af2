"""What all screens share: the key line, the smallest size, and what becomes of a failed worker."""

from collections.abc import Iterable, Sequence
from typing import ClassVar, TypeVar

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from bomtui.tui.failure import Failed, describe
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.user_commands import Scope, key_line
from bomtui.tui.widgets.lines import Lines, SpanLine

MIN_WIDTH = 60
MIN_HEIGHT = 15
WIDE_WIDTH = 140
TALL_HEIGHT = 30

Result = TypeVar("Result")


class FittedScreen(Screen[Result]):
    """A screen with its keys in the last line; a terminal that is too small shows one line that says so.

    Args:
        glyphs: Signs of the screen.
    """

    SCOPES: ClassVar[tuple[Scope, ...]] = ()
    """Scopes whose commands work here, in the order of the help page; `app` comes by itself."""
    AUTO_FOCUS = ""

    def __init__(self, glyphs: Glyphs) -> None:
        super().__init__()
        self.glyphs = glyphs
        self._focus_to_restore: Widget | None = None

    def compose_parts(self) -> Iterable[Widget]:
        """The screen without its last line."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The parts, the key line, and the line for a terminal that is too small."""
        yield from self.compose_parts()
        yield Lines(self._key_line, id="keys")
        yield Static(f"needs at least {MIN_WIDTH}x{MIN_HEIGHT}", id="too-small", markup=False)

    def _key_line(self, width: int) -> Sequence[SpanLine]:
        pairs = key_line([*self.SCOPES, "app"], width - 1)
        spans: list[tuple[str, str]] = [(" ", "")]
        for number, (key, title) in enumerate(pairs):
            spans += [("   " if number else "", ""), (key, "key"), (f" {title}", "quiet")]
        return [spans]

    async def before_key(self, key: str) -> None:
        """Called before a key does something; keys typed behind it wait as long as this does."""

    @property
    def is_too_small(self) -> bool:
        """Whether the terminal has no room for the screen."""
        return self.has_class("-too-small")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Do nothing unseen: while the screen is out of sight its keys rest."""
        return not self.is_too_small and super().check_action(action, parameters)

    def on_resize(self, event: events.Resize) -> None:
        """Choose the layout for the size; what had the focus before the screen got too small gets it back."""
        width, height = event.size
        is_too_small = width < MIN_WIDTH or height < MIN_HEIGHT
        if is_too_small and not self.is_too_small:
            self._focus_to_restore = self.focused
        was_too_small = self.is_too_small
        self.set_class(is_too_small, "-too-small")
        self.set_class(width >= WIDE_WIDTH, "-wide")
        self.set_class(height >= TALL_HEIGHT, "-tall")
        if was_too_small and not is_too_small:
            self.call_after_refresh(self.set_focus, self._focus_to_restore)
        self.fitted()

    def fitted(self) -> None:
        """Called when the layout for a size is chosen."""

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Show why a worker failed."""
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.post_message(Failed(f"Could not finish: {event.worker.description}", describe(event.worker.error)))
