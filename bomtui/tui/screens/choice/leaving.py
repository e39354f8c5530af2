"""How to leave with steps that are not saved."""

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.choice.screen import Choice, ChoiceScreen

STAY = "stay"
SAVE = "save"
KEEP = "keep"
DISCARD = "discard"
CHOICES = (
    Choice(STAY, "stay", "goes back to the proposal"),
    Choice(SAVE, "save and leave", "writes the proposal and its frozen parts"),
    Choice(KEEP, "leave, keep the steps", "not in the file; the next opening takes them up, undo included"),
    Choice(DISCARD, "leave, give up the steps", "the file stays as it was saved last"),
)


class LeavingScreen(ChoiceScreen):
    """Asks what becomes of steps that are not saved."""

    def __init__(self, glyphs: Glyphs) -> None:
        super().__init__("Leave without saving?", CHOICES, glyphs)
