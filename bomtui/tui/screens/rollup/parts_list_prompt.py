"""Writing the costed parts list: where to, over what, and what became of it."""

from dataclasses import dataclass

from textual import on, work
from textual.message import Message

from bomtui.tui.view import RollupView, WriteOutcome
from bomtui.tui.widgets.prompt_line import YES, PromptLine


class PartsListPrompt(PromptLine):
    """Asks for a path, writes, and never writes over a file without asking."""

    @dataclass
    class Written(Message):
        """An attempt to write has come to an end."""

        view: RollupView
        path: str
        outcome: WriteOutcome

    @dataclass
    class Done(Message):
        """What became of it, in a sentence."""

        sentence: str

    def ask_for(self, view: RollupView, path: str = "") -> None:
        """Ask where the parts list of a view goes.

        Args:
            view: The view.
            path: What the field holds at first; empty for the usual path.
        """

        def answered(path: str) -> None:
            if path.strip():
                self._write(view, path.strip(), overwrite=False)

        self.ask(f"Parts list ({' '.join(view.parts_list_suffixes)}):", path or view.parts_list_path, answered)

    @work(thread=True, group="write", exit_on_error=False, description="writing the parts list")
    def _write(self, view: RollupView, path: str, *, overwrite: bool) -> None:
        self.post_message(self.Written(view, path, view.write_parts_list(path, overwrite)))

    @on(Written)
    def _settle(self, message: Written) -> None:
        """Report, or ask whether to write over the file that is there."""
        message.stop()
        self.post_message(self.Done(message.outcome.message))
        if message.outcome.state == "refused":
            # The path is there to be corrected.
            self.ask_for(message.view, message.path)
        if message.outcome.state != "exists":
            return

        def answered(answer: str) -> None:
            if answer.strip().casefold() in YES:
                self._write(message.view, message.path, overwrite=True)
            else:
                self.post_message(self.Done("Nothing was written."))

        self.ask("Type yes to write over it:", "", answered)
