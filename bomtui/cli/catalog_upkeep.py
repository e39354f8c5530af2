"""The verbs of `bomtui catalog` that keep it: set, retire, remove, history, undo, doubles, export."""

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bomtui.cli.arguments import JSON, TEXT, add_output
from bomtui.cli.diagnostics import UsageFault
from bomtui.cli.layout import Column, table, wrapped
from bomtui.model.part import PART_KINDS
from bomtui.model.plain_text import clean
from bomtui.services import catalog_upkeep as upkeep
from bomtui.services.present import counted
from bomtui.services.refresh import WORDS, FieldChange

HISTORY_ROWS = 20
Said = tuple[str, dict[str, object]]
"""What a verb says, as text and as a record."""


def add_verbs(verbs: Any) -> None:  # noqa: ANN401 - argparse gives its group of commands no public name
    """Add the verbs to those of the catalog."""
    setting = verbs.add_parser("set", help="change fields of parts, all or none, or add one with --new KIND")
    setting.add_argument(
        "words",
        nargs="+",
        metavar="KEY... FIELD=TEXT",
        help="catalog keys, then fields: 'rds_on.typ=9 mohm', 'breaks=60: 13; 100: 9'; empty: taken away",
    )
    setting.add_argument("--new", choices=PART_KINDS, metavar="KIND", help="add a part of this kind")
    setting.set_defaults(act=_set)
    retiring = verbs.add_parser("retire", help="say of parts that they are not made any more, all or none")
    retiring.add_argument("keys", nargs="+", metavar="KEY", help="catalog keys")
    retiring.set_defaults(act=_retire)
    removing = verbs.add_parser("remove", help="take imported or edited parts out; proposals keep their copies")
    removing.add_argument("keys", nargs="+", metavar="KEY", help="catalog keys")
    removing.set_defaults(act=_remove)
    history = verbs.add_parser("history", help="steps of the catalog, or what they changed in one part")
    history.add_argument("key", nargs="?", metavar="KEY", help="catalog key")
    history.add_argument("--limit", type=int, default=HISTORY_ROWS, metavar="N", help="steps at most")
    history.set_defaults(act=_history)
    undoing = verbs.add_parser("undo", help="take the last step of the catalog back")
    undoing.set_defaults(act=_undo)
    doubling = verbs.add_parser("doubles", help="parts whose numbers differ only in how they are written")
    doubling.set_defaults(act=_doubles)
    exporting = verbs.add_parser("export", help="write parts into a file that catalog import takes back equal")
    exporting.add_argument("file", type=Path, metavar="FILE.toml", help="the file")
    exporting.add_argument("--origin", choices=("shipped", "imported", "edited"), help="only parts of this origin")
    exporting.set_defaults(act=_export)
    for own in (setting, retiring, removing, history, undoing, doubling, exporting):
        add_output(own, TEXT, JSON)


def _set(arguments: argparse.Namespace) -> Said:
    keys: list[str] = []
    fields: dict[str, str] = {}
    for text in arguments.words:
        name, sign, value = text.partition("=")
        if sign and name.strip():
            fields[name.strip()] = value.strip()
        elif sign or fields:
            raise UsageFault(f"expected FIELD=TEXT, found {text}")
        else:
            keys.append(text)
    if not keys or not fields:
        raise UsageFault(f"expected a catalog key, then FIELD=TEXT, found {' '.join(arguments.words)}")
    if arguments.new is None:
        return _changed(upkeep.edit_parts(tuple(dict.fromkeys(keys)), fields))
    if len(keys) > 1:
        raise UsageFault(f"expected one catalog key with --new, found {len(keys)}")
    return _changed({keys[0]: upkeep.add_part(keys[0], arguments.new, fields)})


def _retire(arguments: argparse.Namespace) -> Said:
    return _changed(upkeep.retire_parts(tuple(dict.fromkeys(arguments.keys))))


def _changed(parts: dict[str, tuple[FieldChange, ...]]) -> Said:
    lines = []
    for key, changes in parts.items():
        lines += [f"{key}: {counted(len(changes), 'field', 'fields')} changed", *_change_lines(changes)]
    return _text(lines), {"parts": [{"part": key, "changes": changes} for key, changes in parts.items()]}


def _change_lines(changes: tuple[FieldChange, ...]) -> Iterator[str]:
    for group, words in WORDS.items():
        own = [change for change in changes if change.group == group]
        if own:
            yield f"  {words}"
        for change in own:
            yield from wrapped(f"{change.field}: {change.before or 'unknown'} -> {change.now or 'unknown'}", 4, 6)


def _remove(arguments: argparse.Namespace) -> Said:
    keys = tuple(dict.fromkeys(arguments.keys))
    upkeep.take_out(keys)
    return _text(wrapped(f"taken out: {', '.join(keys)}; 'bomtui catalog undo' brings them back")), {"removed": keys}


def _history(arguments: argparse.Namespace) -> Said:
    if arguments.key is not None:
        return _part_history(arguments.key)
    steps = upkeep.history(max(arguments.limit, 1))
    columns = (Column("when"), Column("parts", numeric=True), Column("what"), Column(""))
    rows = [[own.made_at, str(own.parts), own.label, "taken back" if own.undone else ""] for own in steps]
    return _text(table(columns, rows, 0) if rows else ["nobody has changed a part yet"]), {"steps": steps}


def _part_history(key: str) -> Said:
    changes = upkeep.part_history(key)
    lines = [] if changes else [f"nobody has changed {key} yet"]
    for own in changes:
        lines += wrapped(f"{own.made_at or 'at an unknown time'}: {own.label}{' (new)' if own.is_new else ''}", 0, 2)
        lines += _change_lines(own.changes)
    return _text(lines), {"part": key, "changes": changes}


def _undo(_: argparse.Namespace) -> Said:
    label = upkeep.undo()
    text = f"taken back: {label}" if label else "there is no step to take back"
    return _text(wrapped(text)), {"undone": label}


def _doubles(_: argparse.Namespace) -> Said:
    found = upkeep.doubles()
    lines = [] if found else ["no two parts have numbers that differ only in how they are written"]
    for own in found:
        spelled = ", ".join(f"{key} ({mpn})" for key, mpn in zip(own.keys, own.mpns, strict=True))
        lines += wrapped(f"{spelled}: {', '.join(own.makers)}", 0, 2)
    return _text(lines), {"doubles": found}


def _export(arguments: argparse.Namespace) -> Said:
    count = upkeep.export_parts(arguments.file, arguments.origin)
    text = f"wrote {counted(count, 'part', 'parts')} to {clean(str(arguments.file))}"
    return _text(wrapped(text)), {"file": str(arguments.file), "parts": count}


def _text(lines: list[str]) -> str:
    return "\n".join(lines) + "\n"
