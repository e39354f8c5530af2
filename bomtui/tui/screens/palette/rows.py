"""Commands by their names: plain data, no screen library."""

from collections.abc import Iterable, Sequence

from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.user_commands import UserCommand, commands_in, key_word

HIDDEN_ACTIONS = frozenset({"palette", "up", "down", "page_up", "page_down", "help_quit"})
"""Commands that make no sense from a list of commands."""


def offered(scopes: Iterable[str]) -> list[UserCommand]:
    """The commands of some scopes that can be chosen by name, in the order of the table."""
    return [own for scope in scopes for own in commands_in(scope) if own.action not in HIDDEN_ACTIONS]


def choice_of(command: UserCommand) -> Choice:
    """A command with its key, and what it does."""
    return Choice(command.id, f"{command.title}   {key_word(command.keys[0])}", command.help)


def matching(commands: Sequence[UserCommand], text: str) -> list[UserCommand]:
    """The commands that hold all words of a text, whatever their case; the one that is called so first."""
    wanted = text.casefold().strip()
    words = wanted.split()
    ranked = [(rank, command) for command in commands if (rank := _rank(command, wanted, words)) is not None]
    return [command for _, command in sorted(ranked, key=lambda own: own[0])]


def _rank(command: UserCommand, wanted: str, words: list[str]) -> int | None:
    title = command.title.casefold()
    if title == wanted or not words:
        return 0
    if title.startswith(wanted):
        return 1
    if all(word in title for word in words):
        return 2
    text = f"{title} {command.help.casefold()}"
    return 3 if all(word in text for word in words) else None
