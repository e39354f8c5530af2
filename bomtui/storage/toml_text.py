"""Records to canonical TOML text: block form, one field a line, fields in the order of the field table.

TOML 1.0.0: bare keys, basic strings and their escapes, dotted keys, tables.
"""

import datetime
import re
from collections.abc import Iterator, Mapping
from functools import cache

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.ids import natural_key
from bomtui.storage.field_writing import TomlValue, is_left_out, write_field

_PLAIN = re.compile(r"[ !#-\[\]-~]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_SHORT_ESCAPES = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
_SURROGATES = range(0xD800, 0xE000)


def tables(record: Base, path: str) -> Iterator[str]:
    """Write a record and what it holds as tables, each as the text of its lines without a blank line after it.

    Args:
        record: What to write.
        path: Name of its table; empty for the top of a file.
    """
    plain, nested = _fields(type(record))
    lines: list[str] = []
    for info in plain:
        value = getattr(record, info.name)
        if not is_left_out(info, value):
            lines.extend(_assignments(info.key, write_field(info, value)))
    if path:
        yield "\n".join((f"[{path}]", *lines))
    for info in nested:
        yield from _nested(info, getattr(record, info.name), f"{path}.{info.key}" if path else info.key)


def toml_string(text: str) -> str:
    """Write a text as one-line TOML string; what acts or hides in a terminal or diff is written as an escape."""
    if _PLAIN.fullmatch(text):
        return f'"{text}"'
    return '"' + "".join(map(_escaped, text)) + '"'


def toml_key(key: str) -> str:
    """Write a key: bare where TOML allows it."""
    return key if _BARE_KEY.fullmatch(key) else toml_string(key)


@cache
def _fields(record: type[Base]) -> tuple[tuple[FieldInfo, ...], tuple[FieldInfo, ...]]:
    """Fields written as lines of the table, and fields written as tables of their own."""
    infos = field_table(record)
    nested = tuple(info for info in infos if info.shape in {"record", "records"})
    return tuple(info for info in infos if info.shape not in {"record", "records"}), nested


def _nested(info: FieldInfo, value: Base | Mapping[str, Base], path: str) -> Iterator[str]:
    if isinstance(value, Base):
        if not is_left_out(info, value):
            blocks = list(tables(value, path))
            # A table that only holds tables needs no line of its own.
            yield from blocks if "\n" in blocks[0] or len(blocks) == 1 else blocks[1:]
        return
    for key in sorted(value, key=natural_key):
        yield from tables(value[key], f"{path}.{toml_key(key)}")


def _assignments(key: str, value: TomlValue) -> Iterator[str]:
    """Lines of one field; what holds several values becomes one dotted key each."""
    if isinstance(value, dict):
        for inner, entry in value.items():
            yield from _assignments(f"{key}.{toml_key(inner)}", entry)
    else:
        yield f"{key} = {_value(value)}"


def _value(value: TomlValue) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, str):
        return toml_string(value)
    return f"[{', '.join(map(toml_string, value))}]"


def _escaped(character: str) -> str:
    if character in _SHORT_ESCAPES:
        return _SHORT_ESCAPES[character]
    code = ord(character)
    if code in _SURROGATES:
        # Half a character is none: no text file can hold it.
        return "\N{REPLACEMENT CHARACTER}"
    if character.isprintable():
        return character
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
