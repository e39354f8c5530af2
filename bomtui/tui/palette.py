"""The palette: every command of the screen, found by a piece of its name."""

from functools import partial

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import UserCommand, commands_in, key_word

HIDDEN_ACTIONS = frozenset({"palette", "up", "down", "page_up", "page_down", "help_quit"})
"""Commands that make no sense from a list of commands."""


def _shown(command: UserCommand) -> Content:
    return Content(f"{command.title}   {key_word(command.keys[0])}")


class CommandProvider(Provider):
    """Commands of the screen beneath the palette."""

    def _commands(self) -> list[UserCommand]:
        scopes = [*self.screen.SCOPES, "app"] if isinstance(self.screen, FittedScreen) else ["app"]
        return [command for scope in scopes for command in commands_in(scope) if command.action not in HIDDEN_ACTIONS]

    async def _run(self, command: UserCommand) -> None:
        """Run the action where its keys would: at the widget with the focus, the screen, or the app."""
        namespaces = [self.focused, self.screen, self.app]
        for namespace in namespaces:
            if namespace is not None and hasattr(namespace, f"action_{command.action}"):
                await self.app.run_action(command.action, namespace)
                return

    async def discover(self) -> Hits:
        """All commands."""
        for command in self._commands():
            yield DiscoveryHit(_shown(command), partial(self._run, command), command.title, command.help)

    async def search(self, query: str) -> Hits:
        """Commands whose title or help fits what was typed."""
        matcher = self.matcher(query)
        for command in self._commands():
            score = max(matcher.match(command.title), matcher.match(command.help) / 2)
            if score > 0:
                yield Hit(score, _shown(command), partial(self._run, command), command.title, command.help)
