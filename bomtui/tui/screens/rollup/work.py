"""What every part of the working screen counts on: the proposal, what is shown, and the line under the cursor."""

from collections.abc import Callable

from bomtui.edit.edit import Edit
from bomtui.tui.candidates import Candidates, Subject
from bomtui.tui.from_services.lines import Line, line_of
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.steps.steps import Steps
from bomtui.tui.source import ProposalSource
from bomtui.tui.view import RollupView
from bomtui.tui.widgets.prompt_line import PromptLine


class Work(Steps[None]):
    """The working screen as its parts see it: one variant, and the line under the cursor.

    Args:
        source: The open proposal.
        glyphs: Signs of the screen.
    """

    def __init__(self, source: ProposalSource, glyphs: Glyphs) -> None:
        super().__init__(source, glyphs)
        self.variant = source.variants()[0].id if source.variants() else ""

    @property
    def address(self) -> str | None:
        """Address of the line under the cursor; None where there is none."""
        raise NotImplementedError

    @property
    def line(self) -> Line:
        """What the line is that the cursor is on, or goes to as soon as the last step is computed."""
        return line_of(self.source.snapshot, self.variant, self.target)

    @property
    def target(self) -> str | None:
        """Address of that line."""
        raise NotImplementedError

    @property
    def view(self) -> RollupView | None:
        """What is shown; None while the first view is being computed."""
        raise NotImplementedError

    def ask(self, question: str, answered: Callable[[str], object], value: str = "") -> None:
        """Ask for a text; `answered` may be a coroutine, and what is typed behind the answer waits for it."""
        self.query_one("#find", PromptLine).ask(question, value, answered)

    def ask_for_id(
        self, question: str, problem: Callable[[str], str], answered: Callable[[str], object], value: str = ""
    ) -> None:
        """Ask for an id, again where `problem` says why it cannot be given; nothing typed changes nothing."""

        def typed(text: str) -> object:
            text = text.strip()
            sentence = problem(text) if text else "Nothing was changed."
            if text and not sentence:
                return answered(text)
            self.say(sentence)
            if text:
                self.ask_for_id(question, problem, answered, text)
            return None

        self.ask(question, typed, value)

    async def choose_by_effect(self, question: str, subject: Subject, load: Callable[[], Candidates]) -> None:
        """Choose one of several candidates by what it changes, and do it."""
        from bomtui.tui.screens.options.screen import OptionsScreen

        async def chosen(edit: Edit | None) -> None:
            if edit is not None:
                await self.do(edit)

        screen = OptionsScreen(question, subject, load, lambda: self.source.snapshot_number, self.glyphs)
        await self.app.push_screen(screen, chosen)
