"""Somebody else's list: what it leaves open is asked, every row is shown, and all of it is taken in as one step."""

import asyncio
from pathlib import Path
from typing import ClassVar

from textual.binding import BindingType

from bomtui.services.errors import BomtuiError
from bomtui.services.sheets import Answers, answered, read_answers_file
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.incoming import IncomingReport, Listed, OpenQuestion
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.report.screen import ReportScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.rows import Row

TYPED = "\0"
REST, NOTHING = "rest", "nothing"


class IncomingScreen(ReportScreen):
    """The dry run of a list.

    Args:
        source: The open proposal.
        variant: Variant that is shown.
        what: What the list holds.
        path: The list.
        glyphs: Signs of the screen.
    """

    SCOPES = ("incoming", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("incoming")]

    def __init__(self, source: ProposalSource, variant: str, what: Listed, path: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, glyphs)
        self._what = what
        self._path = path
        self._answers = Answers()

    def make_report(self) -> Report | Refused:
        """Read the list with what was said of it so far."""
        return self.source.incoming(self._what, self.variant, self._path, self._answers)

    @property
    def _list(self) -> IncomingReport | None:
        return self._report if isinstance(self._report, IncomingReport) else None

    @property
    def _question(self) -> OpenQuestion | None:
        """What can be answered on the line under the cursor."""
        row = self.sheet.cursor_row
        if self._list is None or row is None:
            return None
        return self._list.questions.get((self._list.pages[self._page].title, str(row.key)))

    async def _take(self, _row: Row) -> None:
        await self.action_answer()

    async def action_answer(self) -> None:
        """Answer the question of the line, or say what its column is."""
        question = self._question
        if question is None:
            self.say("This line asks nothing: the questions and columns are on the first two pages, t turns.")
        elif question.is_typed:
            self._ask_text(question)
        else:
            choices = [Choice(choice, choice) for choice in question.choices]
            if question.about == "columns":
                choices.append(Choice(TYPED, "something else", "is typed as a header that the program knows"))

            async def chosen(choice: str | None) -> None:
                if choice == TYPED:
                    self._ask_text(question)
                elif choice is not None:
                    await self._say_of(question, choice)

            await self.choose("Which one?", choices, chosen, sentences=(question.sentence,))

    def _ask_text(self, question: OpenQuestion) -> None:
        async def typed(text: str) -> None:
            if text.strip():
                await self._say_of(question, text.strip())

        self.say(question.sentence)
        self.ask(f"{question.subject or question.about.replace('_', ' ')}:", question.proposed, typed)

    async def _say_of(self, question: OpenQuestion, text: str) -> None:
        try:
            self._answers = answered(self._answers, question.about, question.subject, text)
        except BomtuiError as error:
            self.say(f"{error}.")
            return
        await self._read_again()

    async def _read_again(self) -> None:
        """Read the list anew before the next key is looked at, which would else answer a question of before."""
        self._asked += 1
        self.show_report(self._asked, await asyncio.to_thread(self.make_report))

    def action_use_kept(self) -> None:
        """Ask for a file of answers and use them."""

        async def typed(text: str) -> None:
            if not text.strip():
                return
            try:
                self._answers = _kept_in(text.strip())
            except BomtuiError as error:
                self.say(f"{error}.")
                return
            await self._read_again()

        self.ask("Use the answers kept in file:", self._list.path if self._list else "", typed)

    async def action_take_in(self) -> None:
        """Take the list in as one step; where rows were refused, only after a question."""
        found = self._list
        if found is None:
            return
        if not found.has_something and not found.obstacle:
            self.say("All of it is there already.")
        elif not found.obstacle:
            await self._do(found, without_refused=False)
        elif found.obstacle_of_rest or not found.has_something:
            self.say(f"It cannot be taken in: {found.obstacle}. The first page asks, enter answers.")
        else:
            choices = [
                Choice(NOTHING, "take nothing in", "so that the list can be mended first"),
                Choice(REST, "take the others in", f"without the {found.refused} lines that were refused"),
            ]

            async def chosen(choice: str | None) -> None:
                if choice == REST:
                    await self._do(found, without_refused=True)

            await self.choose("Lines were refused. Take the others in?", choices, chosen)

    async def _do(self, found: IncomingReport, *, without_refused: bool) -> None:
        if found.edit is not None:
            await self.do(found.edit)
        elif found.into_catalog is not None:
            outcome = await asyncio.to_thread(found.into_catalog, without_refused)
            await self._read_again()
            self.say(outcome.message)


def _kept_in(path: str) -> Answers:
    return read_answers_file(Path(path).expanduser())
