"""Saving under another name: where to, over what, and what became of it."""

from dataclasses import dataclass

from textual.message import Message

from bomtui.tui.view import ProposalSource
from bomtui.tui.widgets.prompt_line import YES, PromptLine


class SaveAsPrompt(PromptLine):
    """Asks for a path and saves there; never over a file without asking."""

    @dataclass
    class Done(Message):
        """What became of it, in a sentence."""

        sentence: str

    def ask_for(self, source: ProposalSource, path: str = "") -> None:
        """Ask where the proposal goes.

        Args:
            source: The proposal.
            path: What the field holds at first; empty for its own path.
        """

        def answered(path: str) -> None:
            if path.strip():
                self._save(source, path.strip(), overwrite=False)

        self.ask("Save as (NAME.toml):", path or source.path, answered)

    def _save(self, source: ProposalSource, path: str, *, overwrite: bool) -> None:
        outcome = source.save_as(path, overwrite=overwrite)
        self.post_message(self.Done(outcome.message))
        if outcome.state == "refused":
            # The path is there to be corrected.
            self.ask_for(source, path)
        if outcome.state != "exists":
            return

        def answered(answer: str) -> None:
            if answer.strip().casefold() in YES:
                self._save(source, path, overwrite=True)
            else:
                self.post_message(self.Done("Nothing was written."))

        self.ask("Type yes to write over it:", "", answered)
