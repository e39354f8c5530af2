"""What every screen on which the proposal is changed counts on: how a step is done, and what is asked before it."""

from collections.abc import Callable
from typing import TypeVar

from bomtui.edit.edit import Edit
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.choice.screen import Choice, ChoiceScreen
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.source import ProposalSource

GO_AHEAD = "go ahead"
LEAVE_IT = "leave it"

Result = TypeVar("Result")


class Steps(FittedScreen[Result]):
    """A screen on which the proposal is changed.

    Args:
        source: The open proposal.
        glyphs: Signs of the screen.
    """

    def __init__(self, source: ProposalSource, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self.source = source

    def say(self, message: str, *, is_short: bool = False) -> None:
        """Put a sentence into the status line."""
        raise NotImplementedError

    def show_heading(self) -> None:
        """Draw the title line anew: the saved state may have changed."""
        raise NotImplementedError

    def show_newest(self, address: str = "") -> None:
        """Show the newest snapshot, with the cursor on the line with this address where there is one."""
        raise NotImplementedError

    def show_step(self, outcome: Outcome) -> None:
        """Show the snapshot that a step has led to."""
        self.show_newest(outcome.address)

    async def do(self, edit: Edit) -> None:
        """Do an edit, ask where other things would go along with it, and say what became of it."""
        await self.settle(self.source.do(edit))

    async def settle(self, outcome: Outcome) -> None:
        """Say what became of a step, show the newest figures, and ask where it goes ahead only with other things."""
        if outcome.state == "done":
            self.show_step(outcome)
        self.say(outcome.message)
        if outcome.retry is None:
            return
        retry = outcome.retry

        async def chosen(choice: str | None) -> None:
            if choice == GO_AHEAD:
                await self.settle(self.source.do(retry))
            else:
                self.say("Nothing was changed.")

        await self.choose(
            "Go ahead?",
            [
                Choice(LEAVE_IT, "leave it", "changes nothing"),
                Choice(GO_AHEAD, "go ahead", f"{retry.label}; undo brings all of it back"),
            ],
            chosen,
            sentences=(outcome.message,),
        )

    async def choose(
        self,
        question: str,
        choices: list[Choice],
        chosen: Callable[[str | None], object],
        *,
        sentences: tuple[str, ...] = (),
        current: str = "",
    ) -> None:
        """Ask for one of a few; `chosen` gets its id, or None where the question is left."""
        screen = ChoiceScreen(question, choices, self.glyphs, sentences=sentences, current=current)
        await self.app.push_screen(screen, chosen)  # type: ignore[arg-type]
