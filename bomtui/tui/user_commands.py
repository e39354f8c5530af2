"""Every user command in one table: bindings, palette, key line, help and the README's key table all come from it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from textual.binding import Binding

Scope = Literal[
    "app",
    "sheet",
    "text",
    "prompt",
    "start",
    "rollup",
    "keep",
    "find",
    "fields",
    "lists",
    "choice",
    "options",
    "findings",
    "explain",
    "failures",
    "diagram",
    "variants",
    "compare",
    "volumes",
    "incoming",
    "opportunities",
    "refresh",
    "remedies",
    "catalog",
    "side_by_side",
    "part",
    "catalog_history",
    "doubles",
    "palette",
    "help",
    "error",
]
SCOPE_TITLES: dict[Scope, str] = {
    "app": "Everywhere",
    "sheet": "In a list or sheet",
    "text": "In a text",
    "prompt": "In the line where you type",
    "start": "Opening a proposal",
    "rollup": "Working on a proposal",
    "keep": "Wherever a proposal is changed",
    "find": "Finding a line",
    "fields": "Fields of a record",
    "lists": "Lists of the vehicle",
    "choice": "A question with choices",
    "options": "Choosing a place, a part or a zone",
    "findings": "List of findings",
    "explain": "Where a figure comes from",
    "failures": "What is lost when something fails",
    "diagram": "Block diagram",
    "variants": "Variants",
    "compare": "Two variants side by side",
    "volumes": "Cost over volume and years",
    "incoming": "Taking in a list",
    "opportunities": "Fewer or cheaper chips, fewer modules",
    "refresh": "Frozen parts beside the catalog",
    "remedies": "Parts that make a finding go away",
    "catalog": "Catalog of parts",
    "side_by_side": "Parts side by side",
    "part": "A part of the catalog",
    "catalog_history": "History of the catalog",
    "doubles": "Doubles in the catalog",
    "palette": "Finding a command by name",
    "help": "This page",
    "error": "A message",
}


@dataclass(frozen=True, slots=True)
class UserCommand:
    """Something the user can ask for.

    Attributes:
        id: Scope and action, such as `rollup.turn_tree`.
        title: What it does in two or three words, as the key line and the palette say it.
        help: The same in one sentence.
        keys: Keys, in the screen library's names; the first one is shown.
        rank: Place in the key line; 0 for a command that is not shown there.
    """

    id: str
    title: str
    help: str
    keys: tuple[str, ...]
    rank: int = 0

    @property
    def scope(self) -> str:
        """Where the command can be asked for."""
        return self.id.partition(".")[0]

    @property
    def action(self) -> str:
        """Name of the action in the class of the scope."""
        return self.id.partition(".")[2]


USER_COMMANDS = (
    UserCommand("app.keys", "keys", "Lists every key that works here.", ("question_mark", "f1"), rank=90),
    UserCommand("app.palette", "all by name", "Finds a command by its name.", ("ctrl+p",), rank=91),
    UserCommand("app.focus_next", "next part", "Goes to the next part of the screen.", ("tab",)),
    UserCommand("app.focus_previous", "previous part", "Goes to the previous part of the screen.", ("shift+tab",)),
    UserCommand(
        "app.next_colours", "other colours", "Goes through dark, light and the terminal's own colours.", ("ctrl+t",)
    ),
    UserCommand(
        "app.help_quit", "how to quit", "Says how to quit, so that a habit does not end the program.", ("ctrl+c",)
    ),
    UserCommand("app.quit", "quit", "Leaves the program.", ("ctrl+q",), rank=92),
    UserCommand("sheet.up", "up", "One line up.", ("up",)),
    UserCommand("sheet.down", "down", "One line down.", ("down",)),
    UserCommand("sheet.page_up", "page up", "One page up.", ("pageup",)),
    UserCommand("sheet.page_down", "page down", "One page down.", ("pagedown",)),
    UserCommand("sheet.first", "first line", "To the first line.", ("home", "ctrl+home")),
    UserCommand("sheet.last", "last line", "To the last line.", ("end", "ctrl+end")),
    UserCommand("sheet.unfold", "open", "Opens the line, or goes to the first line inside it.", ("right",)),
    UserCommand("sheet.fold", "close", "Closes the line, or goes to the line around it.", ("left",)),
    UserCommand(
        "sheet.choose",
        "open, close, take",
        "Opens or closes the line; takes one that has none inside.",
        ("enter", "space"),
    ),
    UserCommand("sheet.unfold_all", "open all", "Opens all lines.", ("plus",)),
    UserCommand("sheet.fold_all", "close all", "Closes all lines.", ("minus",)),
    UserCommand(
        "sheet.columns_right", "columns right", "Shows columns further right.", ("greater_than_sign", "shift+right")
    ),
    UserCommand("sheet.columns_left", "columns left", "Shows columns further left.", ("less_than_sign", "shift+left")),
    UserCommand("text.up", "up", "One line up.", ("up",)),
    UserCommand("text.down", "down", "One line down.", ("down",)),
    UserCommand("text.page_up", "page up", "One page up.", ("pageup",)),
    UserCommand("text.page_down", "page down", "One page down.", ("pagedown", "space")),
    UserCommand("text.first", "beginning", "To the beginning.", ("home", "ctrl+home")),
    UserCommand("text.last", "end", "To the end.", ("end", "ctrl+end")),
    UserCommand("prompt.cancel", "leave it", "Closes the line and does nothing.", ("escape",)),
    UserCommand(
        "start.ask_path",
        "type a path",
        "Opens a proposal by the path of its file or folder.",
        ("o",),
        rank=1,
    ),
    UserCommand("start.catalog", "catalog", "Opens the catalog of parts.", ("K",), rank=2),
    UserCommand("start.leave", "back", "Goes back to the proposal that is open.", ("escape",)),
    UserCommand(
        "rollup.turn_tree", "turn sheet", "Turns the sheet from modules to subsystems and back.", ("t",), rank=1
    ),
    UserCommand("rollup.details", "details", "Shows or hides everything known of the line.", ("d",), rank=6),
    UserCommand("rollup.explain", "explain", "Shows where the figures of the line come from.", ("x",), rank=2),
    UserCommand("rollup.next_finding", "next finding", "Goes to the place of the next finding.", ("f", "f8"), rank=3),
    UserCommand(
        "rollup.previous_finding", "previous finding", "Goes to the place of the previous finding.", ("F", "shift+f8")
    ),
    UserCommand(
        "rollup.findings",
        "findings",
        "Lists all findings with their numbers, formulas and remedies.",
        ("l",),
        rank=7,
    ),
    UserCommand(
        "rollup.failures",
        "failures",
        "Shows what is lost with every single thing taken out, and which stand-ins still work.",
        ("g",),
    ),
    UserCommand("rollup.diagram", "block diagram", "Draws the module of the line, or the vehicle, as blocks.", ("b",)),
    UserCommand("rollup.variants", "variant", "Chooses another variant of the electronics.", ("v",), rank=5),
    UserCommand(
        "rollup.write_parts_list",
        "parts list",
        "Writes the costed parts list to a file.",
        ("w",),
        rank=4,
    ),
    UserCommand(
        "rollup.write_package",
        "package",
        "Writes all artefacts of a quotation into a folder, and one page of everything that prints.",
        ("W",),
    ),
    UserCommand(
        "rollup.add",
        "add",
        "Adds what can stand here: module, device, item, rail, power stage, load, subsystem.",
        ("a", "insert"),
        rank=2,
    ),
    UserCommand("rollup.remove", "remove", "Removes what the line is; undo brings it back.", ("delete",)),
    UserCommand("rollup.rename", "rename", "Gives module, device, rail, load or subsystem another id.", ("r",)),
    UserCommand("rollup.copy", "copy module", "Adds a module with the same devices, rails and items.", ("c",)),
    UserCommand("rollup.move", "move module", "Mounts the module in another zone, with what that changes.", ("m",)),
    UserCommand(
        "rollup.swap",
        "swap part",
        "Puts another part in the place of a device or item, with what that changes.",
        ("s",),
        rank=4,
    ),
    UserCommand(
        "rollup.place",
        "place",
        "Lists where the load could be served, ranked by what that really costs.",
        ("p",),
        rank=3,
    ),
    UserCommand(
        "rollup.take_off", "take off", "Takes the load, or all loads of the line, off what serves them.", ("k",)
    ),
    UserCommand("rollup.join", "join", "Says how the load's channels, or loads on one channel, are joined.", ("j",)),
    UserCommand("rollup.pin", "pin, unpin", "Keeps loads where they are whatever automatic placement does.", ("P",)),
    UserCommand(
        "rollup.edit", "edit", "Edits the fields of the line; of the whole vehicle, its lists.", ("e", "f2"), rank=2
    ),
    UserCommand(
        "rollup.lists",
        "vehicle lists",
        "Edits all that belongs to the vehicle: zones, modes, subsystems, pairs, assumptions, settings.",
        ("i",),
        rank=9,
    ),
    UserCommand(
        "rollup.compare", "compare", "Compares the variant with a second one: why they differ, and in what.", ("C",)
    ),
    UserCommand("rollup.volumes", "volumes", "Shows cost over vehicles a year and over the years.", ("V",)),
    UserCommand(
        "rollup.opportunities",
        "opportunities",
        "Shows fewer or cheaper chips for the same loads, or fewer modules, with proof, and why not more.",
        ("O",),
    ),
    UserCommand(
        "rollup.change_volume", "change volume", "Changes the vehicles built in a year, with what that changes.", ("y",)
    ),
    UserCommand(
        "rollup.swap_everywhere",
        "swap everywhere",
        "Puts another part in the place of this one wherever the variant uses it, with what that changes.",
        ("X",),
    ),
    UserCommand(
        "rollup.move_subsystem",
        "move subsystem",
        "Lets one module serve all loads of the subsystem, with what that changes.",
        ("M",),
    ),
    UserCommand(
        "rollup.incoming",
        "take in a list",
        "Takes in a list: loads, placements, distances, quantities or parts.",
        ("I",),
    ),
    UserCommand("rollup.catalog", "catalog", "Opens the catalog of parts.", ("K",)),
    UserCommand(
        "rollup.refresh",
        "refresh parts",
        "Shows what the catalog says now of the proposal's frozen parts, and what taking it would change.",
        ("R",),
    ),
    UserCommand("rollup.open_other", "open another", "Opens another proposal.", ("o",)),
    UserCommand("rollup.leave", "one step back", "Closes the details.", ("escape",)),
    UserCommand("keep.undo", "undo", "Takes back the last step.", ("ctrl+z", "u"), rank=9),
    UserCommand("keep.redo", "do again", "Does the step again that was undone last.", ("ctrl+y", "ctrl+r")),
    UserCommand("keep.save", "save", "Saves the proposal and its frozen parts.", ("ctrl+s",), rank=10),
    UserCommand("keep.save_as", "save as", "Saves under another name and goes on there.", ("S",)),
    UserCommand("find.find", "find", "Finds a line by a word in its name.", ("slash",), rank=8),
    UserCommand("find.find_next", "find again", "Goes to the next line with the word.", ("n",)),
    UserCommand("find.find_previous", "find backwards", "Goes to the previous line with the word.", ("N",)),
    UserCommand("fields.edit", "edit", "Edits the field: typed over, chosen, or turned over.", ("e", "f2"), rank=1),
    UserCommand(
        "fields.clear",
        "clear",
        "Makes the field unknown, or what holds where it is not written.",
        ("delete",),
        rank=2,
    ),
    UserCommand("fields.leave", "back", "Goes back.", ("escape",), rank=3),
    UserCommand("lists.edit", "edit", "Edits the field: typed over, chosen, or turned over.", ("e", "f2"), rank=1),
    UserCommand("lists.add", "add", "Adds a record to the list that the cursor is in.", ("a", "insert"), rank=2),
    UserCommand(
        "lists.clear",
        "clear, remove",
        "Clears the field; on a record, removes it, and asks where other things would go along.",
        ("delete",),
        rank=3,
    ),
    UserCommand("lists.rename", "rename", "Gives the record another id; what names it follows.", ("r",), rank=4),
    UserCommand("lists.leave", "back", "Goes back to the sheet.", ("escape", "i"), rank=5),
    UserCommand("choice.leave", "leave it", "Goes back and chooses nothing.", ("escape",), rank=2),
    UserCommand("options.find", "find", "Shows only what holds a text.", ("slash",), rank=1),
    UserCommand(
        "options.leave", "back, take none", "Shows all again, or goes back and takes nothing.", ("escape",), rank=2
    ),
    UserCommand("findings.leave", "back", "Goes back to the sheet.", ("escape", "l"), rank=2),
    UserCommand(
        "findings.accept", "accept", "Accepts the finding at its numbers, with a reason and a name.", ("A",), rank=3
    ),
    UserCommand(
        "findings.withdraw",
        "withdraw",
        "Withdraws the acceptance, also one that has lapsed or lost its finding.",
        ("W",),
        rank=4,
    ),
    UserCommand(
        "findings.remedies",
        "remedies",
        "Shows parts of the catalog that would make the finding go away.",
        ("r",),
        rank=5,
    ),
    UserCommand("findings.go", "go there", "Goes to the place of the finding.", ("g",), rank=1),
    UserCommand("explain.leave", "back", "Goes back to the sheet.", ("escape", "x"), rank=1),
    UserCommand("failures.go", "go there", "Goes to the line of what is taken out.", ("g",), rank=1),
    UserCommand("failures.leave", "back", "Goes back to the sheet.", ("escape",), rank=2),
    UserCommand("diagram.next_module", "next module", "Draws the next module, or the vehicle.", ("n", "right"), rank=1),
    UserCommand(
        "diagram.previous_module", "one before", "Draws the module before, or the vehicle.", ("N", "left"), rank=2
    ),
    UserCommand("diagram.leave", "back", "Goes back to the sheet.", ("escape", "b"), rank=3),
    UserCommand("variants.copy", "copy", "Begins a variant as the copy of this one.", ("c",), rank=1),
    UserCommand("variants.add", "add", "Begins a variant without modules.", ("a", "insert"), rank=2),
    UserCommand("variants.rename", "rename", "Gives the variant another id.", ("r",), rank=3),
    UserCommand("variants.delete", "delete", "Deletes the variant; undo brings it back.", ("delete",), rank=4),
    UserCommand("variants.edit", "edit", "Edits name, one-off cost and note of the variant.", ("e", "f2")),
    UserCommand("variants.next", "next", "Goes to the next variant of the list.", ("v",), rank=5),
    UserCommand("variants.leave", "back", "Goes back; the variant that is shown stays.", ("escape",), rank=6),
    UserCommand("compare.turn", "turn", "Turns to the next page: why, measures, parts, what moves it.", ("t",), rank=1),
    UserCommand("compare.swap_sides", "swap sides", "Lets first and second change places.", ("x",), rank=2),
    UserCommand("compare.go", "go there", "Goes to the place of the line in the sheet.", ("g",), rank=3),
    UserCommand("compare.write", "write", "Writes the comparison to a file.", ("w",), rank=4),
    UserCommand("compare.other", "other variant", "Chooses another variant for the first side.", ("v",), rank=5),
    UserCommand("compare.other_file", "other file", "Compares with another revision in another file.", ("o",), rank=6),
    UserCommand("compare.leave", "back", "Goes back to the sheet.", ("escape", "C"), rank=7),
    UserCommand("volumes.turn", "turn", "Turns to the next page: over volume, rungs, over the years.", ("t",), rank=1),
    UserCommand("volumes.other", "other variant", "Chooses a second variant for the break-even.", ("v",), rank=2),
    UserCommand("volumes.add", "add volume", "Adds volumes, vehicles a year.", ("a", "insert"), rank=3),
    UserCommand("volumes.go", "go there", "Goes to the place of the line in the sheet.", ("g",)),
    UserCommand("volumes.write", "write", "Writes cost over volume to a file.", ("w",), rank=4),
    UserCommand("volumes.leave", "back", "Goes back to the sheet.", ("escape", "V"), rank=5),
    UserCommand("incoming.turn", "turn", "Turns to the next page: questions, columns, loads, refused.", ("t",), rank=1),
    UserCommand(
        "incoming.answer",
        "answer",
        "Answers the question of the line, or says what its column is.",
        ("e", "f2"),
        rank=2,
    ),
    UserCommand("incoming.take_in", "take in", "Takes all of it in as one step.", ("i",), rank=3),
    UserCommand(
        "incoming.write", "keep answers", "Keeps the answers in a file for the next such list.", ("w",), rank=4
    ),
    UserCommand("incoming.use_kept", "kept answers", "Uses answers that were kept in a file.", ("o",), rank=5),
    UserCommand("incoming.leave", "back", "Goes back to the sheet.", ("escape", "I"), rank=6),
    UserCommand(
        "opportunities.turn", "turn", "Turns to the next page: drivers, chips, why not, what stays.", ("t",), rank=1
    ),
    UserCommand("opportunities.mark", "mark", "Marks what the line would take, or takes the mark off.", ("m",), rank=2),
    UserCommand("opportunities.take", "take", "Takes what is marked, or the line, as one step.", ("y",), rank=3),
    UserCommand(
        "opportunities.take_all", "take all", "Takes all drivers, or all modules, as one step.", ("A",), rank=4
    ),
    UserCommand("opportunities.modules", "modules", "Turns to fewer modules, or back to drivers.", ("M",), rank=5),
    UserCommand("opportunities.stop", "stop", "Ends the search and shows what is found so far.", ("x",), rank=6),
    UserCommand("opportunities.go", "go there", "Goes to the place of the line in the sheet.", ("g",)),
    UserCommand("opportunities.write", "write", "Writes the opportunities to a file.", ("w",), rank=7),
    UserCommand("opportunities.leave", "back", "Ends the search and goes back to the sheet.", ("escape", "O"), rank=8),
    UserCommand("remedies.take", "take", "Takes the part in its place, as one step.", ("y",), rank=1),
    UserCommand("remedies.leave", "back", "Goes back to the findings.", ("escape", "r"), rank=2),
    UserCommand("refresh.take", "take", "Takes what the catalog says of the part, as one step.", ("y",), rank=1),
    UserCommand("refresh.take_all", "take all", "Takes every part that differs, as one step.", ("A",), rank=2),
    UserCommand("refresh.turn", "turn", "Turns to the next page: changed parts, all together, others.", ("t",), rank=3),
    UserCommand("refresh.go", "go there", "Goes to the place of the line in the sheet.", ("g",), rank=4),
    UserCommand(
        "refresh.leave", "back", "Goes back; what was not taken stays as it was quoted.", ("escape", "R"), rank=5
    ),
    UserCommand("catalog.find", "search", "Looks for fragments while they are typed.", ("slash",), rank=1),
    UserCommand("catalog.kind", "kind", "Shows only parts of one kind.", ("k",), rank=2),
    UserCommand(
        "catalog.filter", "filter", "Shows only parts that keep filters, as `catalog find` reads them.", ("f",), rank=3
    ),
    UserCommand("catalog.order", "order", "Orders the list; the same once more turns it round.", ("s",), rank=4),
    UserCommand("catalog.price", "price at", "Reads prices at another order, or in another currency.", ("p",), rank=7),
    UserCommand("catalog.reset", "show all", "Shows every part again.", ("r",), rank=9),
    UserCommand("catalog.mark", "mark", "Marks the part, or takes the mark off.", ("m",), rank=5),
    UserCommand("catalog.compare", "side by side", "Shows two to four marked parts side by side.", ("c",), rank=6),
    UserCommand("catalog.add", "add", "Adds a part to the catalog.", ("a", "insert"), rank=10),
    UserCommand(
        "catalog.history", "history", "Shows what was changed in the catalog, and takes it back.", ("h",), rank=11
    ),
    UserCommand("catalog.doubles", "doubles", "Shows parts whose numbers differ only in how they are written.", ("D",)),
    UserCommand("catalog.leave", "back", "Goes back.", ("escape", "K"), rank=8),
    UserCommand("side_by_side.leave", "back", "Goes back.", ("escape", "c"), rank=1),
    UserCommand("part.edit", "edit", "Edits the field: chosen or typed; nothing is written yet.", ("e", "f2"), rank=1),
    UserCommand("part.clear", "clear", "Makes the field unknown; nothing is written yet.", ("delete",), rank=2),
    UserCommand("part.name", "by name", "Gives a field by its name and its text.", ("a", "insert"), rank=3),
    UserCommand("part.write", "write", "Tells what changes, and writes it into the catalog.", ("w", "ctrl+s"), rank=4),
    UserCommand("part.uses", "where used", "Looks for the part in the proposals opened lately.", ("u",), rank=8),
    UserCommand("part.retire", "retire", "Says of the part that it is not made any more.", ("x",), rank=5),
    UserCommand("part.remove", "take out", "Takes the part out of the catalog.", ("X",), rank=6),
    UserCommand("part.leave", "back", "Goes back; what is typed and not written is asked about.", ("escape",), rank=7),
    UserCommand(
        "catalog_history.undo", "take back", "Takes the last step of the catalog back.", ("u", "ctrl+z"), rank=1
    ),
    UserCommand("catalog_history.leave", "back", "Goes back.", ("escape", "h"), rank=2),
    UserCommand("doubles.leave", "back", "Goes back.", ("escape", "D"), rank=1),
    UserCommand("palette.up", "up", "One line up.", ("up",)),
    UserCommand("palette.down", "down", "One line down.", ("down",)),
    UserCommand("palette.page_up", "page up", "One page up.", ("pageup",)),
    UserCommand("palette.page_down", "page down", "One page down.", ("pagedown",)),
    UserCommand("palette.leave", "back", "Goes back and does nothing.", ("escape",), rank=1),
    UserCommand("help.leave", "back", "Goes back.", ("escape",), rank=1),
    UserCommand("error.leave", "back", "Goes back.", ("escape", "enter"), rank=1),
)

KEY_WORDS = {
    "question_mark": "?", "slash": "/", "plus": "+", "minus": "-", "less_than_sign": "<", "greater_than_sign": ">",
    "pageup": "page up", "pagedown": "page down", "escape": "esc",
}  # fmt: skip
"""Names of keys as people read them, where the screen library's name is another."""


def key_word(key: str) -> str:
    """A key as people read it, such as `ctrl+q` or `shift+f8`."""
    *modifiers, last = key.split("+")
    return "+".join([*modifiers, KEY_WORDS.get(last, last)])


def commands_in(scope: str) -> tuple[UserCommand, ...]:
    """The commands of a scope, in the order of the table."""
    return tuple(command for command in USER_COMMANDS if command.scope == scope)


def keys_of(*scopes: Scope) -> frozenset[str]:
    """The keys of some scopes, in the screen library's names."""
    return frozenset(key for scope in scopes for command in commands_in(scope) for key in command.keys)


def bindings(scope: Scope) -> list[Binding]:
    """What binds the keys of a scope to the actions of its class.

    All of them have priority: the library then acts on a key before it looks at the next one, so that what is typed
    ahead meets the screen as the keys before it left it.
    """
    return [
        Binding(",".join(command.keys), command.action, command.title, id=command.id, priority=True, show=False)
        for command in commands_in(scope)
    ]


def key_line(scopes: Sequence[str], width: int) -> list[tuple[str, str]]:
    """Keys and titles of the commands that fit on one line, the last ones of the ranking always.

    Returns:
        Pairs of key and title. One blank joins them and three stand between the pairs.
    """
    ranked = sorted(
        (command for scope in scopes for command in commands_in(scope) if command.rank), key=lambda c: c.rank
    )
    pairs = [(key_word(command.keys[0]), command.title) for command in ranked]
    always = [
        pair
        for command, pair in zip(ranked, pairs, strict=True)
        if command.scope == "app" and command.action != "palette"
    ]
    rest = [pair for pair in pairs if pair not in always]

    def used(some: list[tuple[str, str]]) -> int:
        return sum(len(key) + 1 + len(title) for key, title in some) + 3 * (len(some) - 1)

    while rest and used([*rest, *always]) > width:
        rest.pop()
    return [*rest, *always]


def key_table() -> str:
    """All commands as a Markdown table."""
    lines = ["| where | key | what it does |", "| --- | --- | --- |"]
    for scope, title in SCOPE_TITLES.items():
        lines += [
            f"| {title} | {', '.join(f'`{key_word(key)}`' for key in command.keys)} | {command.help} |"
            for command in commands_in(scope)
        ]
    return "\n".join(lines) + "\n"
