"""The app: which screen is up, and what becomes of messages that concern more than one screen."""

import locale
import os
import sys
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, on, work
from textual.app import App
from textual.binding import BindingType
from textual.message import Message
from textual.worker import Worker, WorkerState

from bomtui.tui import signals
from bomtui.tui.failure import Failed, describe
from bomtui.tui.from_services.workplace import ServicesWorkplace
from bomtui.tui.glyphs import ASCII, Glyphs, glyphs_for
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.screens.opening.screen import OpeningScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.theme import DARK, LIGHT, THEME_NAMES, colours_for
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.prompt_line import PlainInput, PromptLine
from bomtui.tui.workplace import Refusal, Workplace

# Screens are loaded when they are first shown, so that the first one stands early.
if TYPE_CHECKING:
    from bomtui.tui.screens.start.screen import StartScreen


TURN_S = 0.001
"""How long a thread that computes keeps the others waiting."""
FIRST_FRAMES_S = 2 / 60
"""Two frames: until then the first screen has been drawn."""


class BomtuiApp(App[None], inherit_bindings=False):
    """The app.

    Args:
        workplace: Knows what can be opened.
        path: Proposal to open at once; empty to be asked.
        glyphs: Signs of the screen; None for what the terminal can show.
    """

    CSS_PATH = "app.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("app")]
    # Ours is a screen like the others: what is typed ahead of it and behind it lands where it belongs.
    ENABLE_COMMAND_PALETTE = False

    @dataclass
    class Opened(Message):
        """A proposal is open."""

        source: ProposalSource

    def __init__(self, workplace: Workplace, path: str = "", glyphs: Glyphs | None = None) -> None:
        super().__init__()
        self._workplace = workplace
        self._first_path = path
        self._source: ProposalSource | None = None
        self.glyphs = glyphs or glyphs_for(os.environ, locale.getencoding())
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        if "TEXTUAL_THEME" not in os.environ:
            self.theme = DARK.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The colours by meaning, for themes that do not define them."""
        theme = self.current_theme
        return colours_for(is_dark=theme.dark, is_terminal=theme.ansi)

    async def on_event(self, event: events.Event) -> None:
        """Let a line in which something is typed act on a key before the next one is looked at."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            prompt = self.focused.parent if isinstance(self.focused, PlainInput) else None
            if isinstance(prompt, PromptLine):
                if await prompt.take_key(event):
                    return
            elif isinstance(self.screen, FittedScreen):
                await self.screen.before_key(event.key)
        await super().on_event(event)

    def on_mount(self) -> None:
        """Open what was asked for, or ask."""
        signals.install(self._leave)
        self.set_class(self.glyphs is ASCII, "-ascii")
        if self._first_path:
            self.push_screen(OpeningScreen(self._first_path, self.glyphs))
            # The screen stands before the proposal, and all that reads and computes it, is loaded. Not after the next
            # refresh, which waits for this very screen to be in front: help may be in front of it by then.
            self.set_timer(FIRST_FRAMES_S, partial(self.open_proposal, self._first_path))
        else:
            self.push_screen(self._start_screen())

    def _start_screen(self) -> "StartScreen":
        from bomtui.tui.screens.start.screen import StartScreen

        return StartScreen(self._workplace, self.glyphs)

    def _leave(self, code: int) -> None:
        self._close_source()
        self.exit(return_code=code)

    def _close_source(self) -> None:
        """End the work on the open proposal; what is unsaved is kept for its next opening."""
        if self._source is not None:
            self._source.close()
            self._source = None

    async def action_quit(self) -> None:
        """Leave; what is not saved is asked about."""
        if self._source is None or not self._source.is_unsaved:
            self._leave(0)
            return
        from bomtui.tui.screens.choice.leaving import LeavingScreen

        if not isinstance(self.screen, LeavingScreen):
            await self.push_screen(LeavingScreen(self.glyphs), self._leave_as)

    def _leave_as(self, choice: str | None) -> None:
        """Leave in the way that was chosen; without one the work goes on."""
        from bomtui.tui.screens.choice.leaving import DISCARD, SAVE, STAY
        from bomtui.tui.screens.steps.keeping import Keeping

        source = self._source
        if source is None or choice in {None, STAY}:
            return
        if choice == SAVE:
            outcome = source.save()
            if outcome.state == "sample" and isinstance(self.screen, Keeping):
                # It needs a name first; then leaving asks nothing.
                self.screen.say(outcome.message)
                self.screen.action_save_as()
                return
            if outcome.state not in {"saved", "nothing"}:
                self.post_message(Failed("Not saved", (outcome.message, *outcome.lines)))
                return
        if choice == DISCARD:
            source.discard()
            self._source = None
        self._leave(0)

    @work(thread=True, exclusive=True, group="open", exit_on_error=False, description="opening the proposal")
    def open_proposal(self, path: str) -> None:
        """Open a proposal."""
        result = self._workplace.open(path)
        self.post_message(Failed(result.title, result.lines) if isinstance(result, Refusal) else self.Opened(result))

    async def on_start_screen_open_asked(self, message: "StartScreen.OpenAsked") -> None:
        """Open what was asked for, or go back to it where it is open: two sessions would not share their steps."""
        from bomtui.tui.screens.rollup.screen import RollupScreen

        if self._source is None or not _is_the_same(message.path, self._source.path):
            self.open_proposal(message.path)
            return
        await self.pop_screen()
        if isinstance(self.screen, RollupScreen):
            self.screen.say("This proposal is open already.")

    @on(Opened)
    async def _show_proposal(self, message: Opened) -> None:
        """Show a proposal in place of everything else."""
        from bomtui.tui.screens.rollup.screen import RollupScreen

        while len(self.screen_stack) > 1:
            await self.pop_screen()
        self._close_source()
        self._source = message.source
        await self.push_screen(RollupScreen(message.source, self.glyphs, self._ask_for_other))

    async def _ask_for_other(self) -> None:
        """Ask which proposal is wanted."""
        await self.push_screen(self._start_screen())

    async def on_start_screen_leave_asked(self) -> None:
        """Go back to the open proposal, if there is one."""
        if self._source is not None:
            await self.pop_screen()

    @on(Failed)
    async def _show_failure(self, message: Failed) -> None:
        """Show what failed, over something that one can go back to."""
        from bomtui.tui.screens.error.screen import ErrorScreen

        if isinstance(self.screen, OpeningScreen):
            await self.pop_screen()
        if len(self.screen_stack) == 1:
            await self.push_screen(self._start_screen())
        await self.push_screen(ErrorScreen(message.title, message.lines, self.glyphs))

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Show why one of the app's own workers failed."""
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.post_message(Failed(f"Could not finish: {event.worker.description}", describe(event.worker.error)))

    async def action_keys(self) -> None:
        """List every key of the screen; a second time goes back."""
        from bomtui.tui.screens.help.screen import HelpScreen

        if isinstance(self.screen, HelpScreen):
            self.screen.dismiss(None)
        elif isinstance(self.screen, FittedScreen):
            await self.push_screen(HelpScreen(self.screen.SCOPES, self.glyphs))

    async def action_palette(self) -> None:
        """Find a command of the screen by its name, and do it."""
        from bomtui.tui.screens.palette.rows import offered
        from bomtui.tui.screens.palette.screen import PaletteScreen

        below = self.screen
        if not isinstance(below, FittedScreen) or isinstance(below, PaletteScreen):
            return

        async def chosen(command_id: str | None) -> None:
            action = (command_id or "").partition(".")[2]
            # Where its key would: at the widget with the focus, the screen, or the app.
            for namespace in (below.focused, below, self):
                if action and namespace is not None and hasattr(namespace, f"action_{action}"):
                    await self.run_action(action, namespace)
                    return

        await self.push_screen(PaletteScreen(offered([*below.SCOPES, "app"]), self.glyphs), chosen)

    def action_next_colours(self) -> None:
        """Go through dark, light and the terminal's own colours."""
        at = THEME_NAMES.index(self.theme) if self.theme in THEME_NAMES else -1
        self.theme = THEME_NAMES[(at + 1) % len(THEME_NAMES)]


def _is_the_same(path: str, proposal: str) -> bool:
    """Whether a path leads to a proposal file, or to its folder."""
    asked, known = Path(path).expanduser().resolve(), Path(proposal).resolve()
    return asked in {known, known.parent}


def run(workplace: Workplace, path: str = "") -> int:
    """Run the app until the user leaves.

    Args:
        workplace: Knows what can be opened.
        path: Proposal to open at once; empty to be asked.

    Returns:
        Exit code: 0, 1 after a fault of the program, or 128 + the number of the signal that ended it.
    """
    # Rules and figures are computed in threads beside the screen: a key waits no longer than this for its turn.
    sys.setswitchinterval(TURN_S)
    app = BomtuiApp(workplace, path)
    app.run()
    if app.return_code is None:
        raise RuntimeError("the app has ended without an exit code")
    return app.return_code


def run_app(path: Path | None = None) -> int:
    """Run the app over the person's own files until the user leaves.

    Args:
        path: Proposal to open at once; None to be asked.

    Returns:
        Exit code, as `run` gives it.
    """
    return run(ServicesWorkplace(), "" if path is None else str(path))
