"""Writing the package of a quotation."""

from dataclasses import dataclass

from textual import on, work
from textual.message import Message

from bomtui.tui.screens.steps.path_prompt import PathPrompt
from bomtui.tui.view import PackageWishes, RollupView, WriteOutcome


class PackagePrompt(PathPrompt):
    """Writes every artefact of a view into the folder that is typed."""

    @dataclass
    class Written(Message):
        """An attempt to write has come to an end."""

        path: str
        outcome: WriteOutcome

    _view: RollupView | None = None
    _wishes = PackageWishes()

    def ask_for(self, view: RollupView, wishes: PackageWishes) -> None:
        """Ask for the folder of the package of a view; it is that of this view, whatever is shown by then."""
        self._view, self._wishes = view, wishes
        self.ask_for_path("Folder of the package:", view.package_path)

    def write(self, path: str, *, overwrite: bool) -> None:
        """Write it in a thread of its own."""
        if self._view is not None:
            self._told("Writing the package.")
            self._write(self._view, self._wishes, path, overwrite=overwrite)

    @work(thread=True, group="write", exit_on_error=False, description="writing the package")
    def _write(self, view: RollupView, wishes: PackageWishes, path: str, *, overwrite: bool) -> None:
        self.post_message(self.Written(path, view.write_package(path, overwrite, wishes)))

    @on(Written)
    def _written(self, message: Written) -> None:
        message.stop()
        self.settle(message.path, message.outcome)
