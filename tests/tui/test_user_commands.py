"""The one table of user commands."""

import re
from collections import Counter

import pytest
from textual.dom import DOMNode

from bomtui.tui.app import BomtuiApp
from bomtui.tui.screens.catalog.doubles import DoublesScreen
from bomtui.tui.screens.catalog.history import HistoryScreen
from bomtui.tui.screens.catalog.part import PartScreen
from bomtui.tui.screens.catalog.screen import CatalogScreen
from bomtui.tui.screens.catalog.side_by_side import SideBySideScreen
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.compare.screen import CompareScreen
from bomtui.tui.screens.diagram.screen import DiagramScreen
from bomtui.tui.screens.error.screen import ErrorScreen
from bomtui.tui.screens.explain.screen import ExplainScreen
from bomtui.tui.screens.failures.screen import FailuresScreen
from bomtui.tui.screens.fields.screen import FieldsScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.fitted import MIN_WIDTH, FittedScreen
from bomtui.tui.screens.help.screen import HelpScreen
from bomtui.tui.screens.incoming.screen import IncomingScreen
from bomtui.tui.screens.lists.screen import ListsScreen
from bomtui.tui.screens.opportunities.screen import OpportunitiesScreen
from bomtui.tui.screens.options.screen import OptionsScreen
from bomtui.tui.screens.palette.screen import PaletteScreen
from bomtui.tui.screens.refresh.screen import RefreshScreen
from bomtui.tui.screens.remedies.screen import RemediesScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.screens.start.screen import StartScreen
from bomtui.tui.screens.steps.keeping import Keeping
from bomtui.tui.screens.steps.searching import Searching
from bomtui.tui.screens.variants.screen import VariantsScreen
from bomtui.tui.screens.volumes.screen import VolumesScreen
from bomtui.tui.user_commands import (
    SCOPE_TITLES,
    USER_COMMANDS,
    Scope,
    UserCommand,
    bindings,
    commands_in,
    key_line,
    key_table,
    key_word,
)
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane

CLASSES: dict[Scope, type[DOMNode]] = {
    "app": BomtuiApp,
    "sheet": Sheet,
    "text": TextPane,
    "prompt": PromptLine,
    "start": StartScreen,
    "rollup": RollupScreen,
    "keep": Keeping,
    "find": Searching,
    "fields": FieldsScreen,
    "lists": ListsScreen,
    "findings": FindingsScreen,
    "explain": ExplainScreen,
    "failures": FailuresScreen,
    "diagram": DiagramScreen,
    "choice": ChoiceScreen,
    "options": OptionsScreen,
    "variants": VariantsScreen,
    "compare": CompareScreen,
    "volumes": VolumesScreen,
    "incoming": IncomingScreen,
    "opportunities": OpportunitiesScreen,
    "refresh": RefreshScreen,
    "remedies": RemediesScreen,
    "catalog": CatalogScreen,
    "side_by_side": SideBySideScreen,
    "part": PartScreen,
    "catalog_history": HistoryScreen,
    "doubles": DoublesScreen,
    "palette": PaletteScreen,
    "help": HelpScreen,
    "error": ErrorScreen,
}
SCREENS: list[type[FittedScreen[object]]] = [
    cls for cls in CLASSES.values() if issubclass(cls, FittedScreen)  # the widgets are not screens
]  # fmt: skip

# What every terminal sends without an extension: one byte, or a sequence of xterm (ctlseqs, "Special Keyboard Keys").
# Left out are ctrl+i, m, h, j and [, which arrive as tab, enter, backspace, line feed and escape.
NAMED_KEYS = {
    "enter", "space", "tab", "shift+tab", "backspace", "delete", "insert", "escape", "up", "down", "left", "right",
    "home", "end", "pageup", "pagedown", "question_mark", "slash", "plus", "minus", "equals_sign",
    "left_square_bracket", "right_square_bracket", "less_than_sign", "greater_than_sign",
}  # fmt: skip
PLAIN_KEY = re.compile(
    r"[A-Za-z0-9]|(shift\+)?f([1-9]|1[0-2])|ctrl\+[cdefgklnopqrstuvwxyz]|(shift|ctrl|alt)\+(up|down|left|right|home|end)"
)


def test_ids_are_unique_and_belong_to_a_scope() -> None:
    """An id names one command, and its first word says where it works."""
    counts = Counter(command.id for command in USER_COMMANDS)
    assert [name for name, count in counts.items() if count > 1] == []
    assert {command.scope for command in USER_COMMANDS} == set(SCOPE_TITLES) == set(CLASSES)


@pytest.mark.parametrize("command", USER_COMMANDS, ids=lambda command: command.id)
def test_each_command_has_an_action(command: UserCommand) -> None:
    """The class of the scope does what the table says."""
    cls = next(cls for scope, cls in CLASSES.items() if scope == command.scope)
    assert callable(getattr(cls, f"action_{command.action}", None))


@pytest.mark.parametrize("scope", SCOPE_TITLES)
def test_each_scope_binds_exactly_its_commands(scope: Scope) -> None:
    """The bindings of a class are those of the table, so that nothing works without standing in help."""
    assert list(vars(CLASSES[scope])["BINDINGS"]) == bindings(scope)


@pytest.mark.parametrize("command", USER_COMMANDS, ids=lambda command: command.id)
def test_each_key_is_one_that_a_plain_terminal_sends(command: UserCommand) -> None:
    """No command hangs on a key that some terminals swallow or send as another one."""
    unsafe = [key for key in command.keys if key not in NAMED_KEYS and not PLAIN_KEY.fullmatch(key)]
    assert command.keys
    assert unsafe == []


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.__name__)
def test_no_key_means_two_things_on_one_screen(screen: type[FittedScreen[object]]) -> None:
    """A key has one meaning, whatever part of the screen has the focus; sheet and text are never in focus together."""
    for part in ("sheet", "text"):
        scopes = [
            scope for scope in (*screen.SCOPES, "app") if scope in {part, "app"} or scope not in {"sheet", "text"}
        ]
        counts = Counter(key for scope in scopes for command in commands_in(scope) for key in command.keys)
        doubled = {key for key, count in counts.items() if count > 1}
        assert doubled == set()


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.__name__)
@pytest.mark.parametrize("width", [MIN_WIDTH, 80, 120, 200])
def test_the_key_line_fits_and_always_shows_help_and_quit(screen: type[FittedScreen[object]], width: int) -> None:
    """Nobody is left without the way to all keys and the way out."""
    pairs = key_line([*screen.SCOPES, "app"], width)
    assert sum(len(key) + 1 + len(title) for key, title in pairs) + 3 * (len(pairs) - 1) <= width
    assert {"?", "ctrl+q"} <= {key for key, _ in pairs}


def test_the_key_table_names_every_command_and_key() -> None:
    """The table for the README is complete."""
    table = key_table()
    assert all(command.help in table for command in USER_COMMANDS)
    assert all(f"`{key_word(key)}`" in table for command in USER_COMMANDS for key in command.keys)


def test_keys_are_written_as_people_read_them() -> None:
    """The library's names for keys do not reach the screen."""
    assert [key_word(key) for key in ("question_mark", "shift+f8", "escape", "ctrl+q", "plus")] == [
        "?", "shift+f8", "esc", "ctrl+q", "+",
    ]  # fmt: skip
