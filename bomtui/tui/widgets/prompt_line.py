"""One line in which something is typed: a path, a word, a yes."""

from collections.abc import Callable
from inspect import isawaitable
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static

from bomtui.model.plain_text import clean, clean_lines
from bomtui.tui.user_commands import bindings

YES = frozenset({"y", "yes"})
"""Answers that agree."""


class PlainInput(Input):
    """A field whose text never drives the terminal, whether typed, pasted or given."""

    async def take_key(self, event: events.Key) -> bool:
        """Act on a key at once; False if the field has no use for it.

        The library inserts letters at once but edits (backspace, enter) later, which garbles a burst of keys.
        """
        if event.is_printable and event.character is not None:
            self.replace(event.character, *self.selection)
            return True
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            await self.run_action(binding.action)
            return True
        return False

    def _on_paste(self, event: events.Paste) -> None:
        """Take all lines of what is pasted, as one: the library would drop all but the first without a word."""
        event.prevent_default()
        event.stop()
        self.replace(" ".join(line.strip() for line in clean_lines(event.text.strip())), *self.selection)

    def validate_value(self, value: str) -> str:
        """The harmless text."""
        return clean(value)


class PromptLine(Horizontal):
    """A question and the field for its answer, out of sight until something is asked.

    Args:
        id: Id of the widget.
    """

    BINDINGS: ClassVar[list[BindingType]] = [*bindings("prompt")]
    DEFAULT_CSS = """
    PromptLine { height: 1; display: none; }
    PromptLine > Static { width: auto; max-width: 70%; height: 1; padding: 0 1 0 0; }
    PromptLine > Input { width: 1fr; }
    """

    def __init__(self, *, id: str) -> None:  # noqa: A002 - the library's word
        super().__init__(id=id)
        self._question = Static("", markup=False)
        self._field = PlainInput(compact=True, select_on_focus=False)
        self._answered: Callable[[str], object] | None = None
        self._back: Widget | None = None

    def compose(self) -> ComposeResult:
        """The question and the field."""
        yield self._question
        yield self._field

    def ask(self, question: str, value: str, answered: Callable[[str], object]) -> None:
        """Ask; from the next key on what is typed lands in the field.

        Args:
            question: The question.
            value: What the field holds at first.
            answered: Gets the answer; not called if the question is left with escape. What it awaits is done before
                the next key is looked at.
        """
        if not self.is_asking:
            self._back = self.screen.focused
        self._answered = answered
        self._question.update(Content(clean(question)))
        self._field.value = value
        self._field.cursor_position = len(self._field.value)
        self.display = True
        # Not focus(), which waits for its turn: keys of the same burst must land in the field.
        self.screen.set_focus(self._field)

    @property
    def is_asking(self) -> bool:
        """Whether a question is open."""
        return self._answered is not None

    async def take_key(self, event: events.Key) -> bool:
        """Act on a key at once; False if the line has no use for it."""
        if event.key == "enter":
            await self._submit()
            return True
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            await self.run_action(binding.action)
            return True
        return await self._field.take_key(event)

    async def _submit(self) -> None:
        """Close the line and hand the answer over."""
        answered, value = self._answered, self._field.value
        self._close()
        if answered is not None:
            outcome = answered(value)
            if isawaitable(outcome):
                await outcome

    def action_cancel(self) -> None:
        """Close the line and do nothing."""
        self._close()

    def _close(self) -> None:
        self._answered = None
        self.display = False
        self.screen.set_focus(self._back)
