"""What every part of the working screen counts on: the proposal, what is shown, and the line under the cursor."""

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.steps.steps import Steps
from bomtui.tui.view import ProposalSource, RollupView


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
    def view(self) -> RollupView | None:
        """What is shown; None while the first view is being computed."""
        raise NotImplementedError
