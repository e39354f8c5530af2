"""Saving under another name."""

from bomtui.tui.screens.steps.path_prompt import PathPrompt
from bomtui.tui.source import ProposalSource


class SaveAsPrompt(PathPrompt):
    """Saves the proposal under the path that is typed."""

    _source: ProposalSource | None = None

    def ask_for(self, source: ProposalSource) -> None:
        """Ask where a proposal goes."""
        self._source = source
        self.ask_for_path("Save as (NAME.toml):", source.proposed_path)

    def write(self, path: str, *, overwrite: bool) -> None:
        """Save, and go on there."""
        if self._source is not None:
            self.settle(path, self._source.save_as(path, overwrite=overwrite))
