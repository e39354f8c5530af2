"""Writing a file: where to, over what, and what became of it."""

from collections.abc import Callable

from bomtui.tui.view import WriteOutcome
from bomtui.tui.widgets.prompt_line import YES, PromptLine


class PathPrompt(PromptLine):
    """Asks for a path and writes there; never over a file without asking.

    Args:
        told: Called with a sentence that says what became of it, before the next key is looked at.
        id: Id of the widget.
    """

    def __init__(self, told: Callable[[str], None], *, id: str) -> None:  # noqa: A002 - the library's word
        super().__init__(id=id)
        self._told = told
        self._asked = ""

    def ask_for_path(self, question: str, path: str) -> None:
        """Ask where the file goes.

        Args:
            question: The question.
            path: What the field holds at first.
        """
        self._asked = question

        def answered(path: str) -> None:
            if path.strip():
                self.write(path.strip(), overwrite=False)

        self.ask(question, path, answered)

    def write(self, path: str, *, overwrite: bool) -> None:
        """Write the file, and `settle` what becomes of it."""
        raise NotImplementedError

    def settle(self, path: str, outcome: WriteOutcome) -> None:
        """Report, or ask whether to write over the file that is there."""
        self._told(outcome.message)
        if outcome.state == "refused":
            # The path is there to be corrected.
            self.ask_for_path(self._asked, path)
        if outcome.state != "exists":
            return

        def answered(answer: str) -> None:
            if answer.strip().casefold() in YES:
                self.write(path, overwrite=True)
            else:
                self._told("Nothing was written.")

        self.ask("Type yes to write over it:", "", answered)
