"""Undoing, doing again, saving, and what a killed program left."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.steps.save_as_prompt import SaveAsPrompt
from bomtui.tui.screens.steps.steps import LEAVE_IT, Result, Steps
from bomtui.tui.user_commands import bindings

OVERWRITE = "overwrite"
LOSE = "lose"
ELSEWHERE = "elsewhere"
TAKE = "take"
LATER = "later"
DROP = "drop"


class Keeping(Steps[Result]):
    """The part of a screen that keeps the work."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings("keep")]

    async def action_undo(self) -> None:
        """Take back the last step."""
        await self.settle(self.source.undo())

    async def action_redo(self) -> None:
        """Do the step again that was undone last."""
        await self.settle(self.source.redo())

    async def action_save(self) -> None:
        """Save; never over what somebody else wrote without asking."""
        await self._save()

    async def _save(self, *, force: bool = False, losing: bool = False) -> None:
        outcome = self.source.save(force=force, losing=losing)
        self.say(outcome.message)
        self.show_heading()
        elsewhere = Choice(ELSEWHERE, "save under another name", "keeps that file as it is, and goes on in a new one")
        leave = Choice(LEAVE_IT, "leave it", "writes nothing; the steps are kept")

        async def chosen(choice: str | None) -> None:
            if choice == OVERWRITE:
                await self._save(force=True, losing=losing)
            elif choice == LOSE:
                await self._save(force=force, losing=True)
            elif choice == ELSEWHERE:
                self.action_save_as()
            else:
                self.say("Nothing was written; the steps are kept.")

        if outcome.state == "sample":
            self.action_save_as()
        elif outcome.state == "conflict":
            over = Choice(OVERWRITE, "write over it", "what somebody else has written there is lost")
            await self.choose(
                "Save over the other file?", [leave, elsewhere, over], chosen, sentences=(outcome.message,)
            )
        elif outcome.state == "loss":
            lose = Choice(LOSE, "save all the same", "what stands above is lost")
            sentences = (outcome.message, *outcome.lines)
            await self.choose("Save all the same?", [leave, elsewhere, lose], chosen, sentences=sentences)

    def action_save_as(self) -> None:
        """Ask for a name and save under it."""
        self.query_one(SaveAsPrompt).ask_for(self.source)

    def file_written(self, sentence: str) -> None:
        """Say what became of a file."""
        self.say(sentence)
        self.show_heading()

    async def ask_about_offer(self) -> None:
        """Ask what becomes of steps that a killed program left for other contents of the files."""
        labels = self.source.offer
        if not labels:
            return

        def chosen(choice: str | None) -> None:
            if choice == TAKE:
                refused = self.source.take_offer()
                self.say(" ".join(("Done what could be done.", *refused)) if refused else "Done again: all of them.")
                self.show_newest()
            elif choice == DROP:
                self.source.drop_offer()
                self.say("The steps are given up.")
            else:
                self.say("The steps are kept and offered at the next opening.")

        sentences = (
            "A program that ended before saving has left steps, and the files have changed since:",
            *(f"  {label}" for label in labels),
        )
        choices = [
            Choice(LATER, "decide later", "keeps the steps; they are offered again at the next opening"),
            Choice(TAKE, "do them again", "on what the files hold now, each as a step that can be undone"),
            Choice(DROP, "give them up", "for good"),
        ]
        await self.choose("Steps that were not saved", choices, chosen, sentences=sentences)
