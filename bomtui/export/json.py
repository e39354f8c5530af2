"""Records as JSON text: keys in the order of their definition, entries of mappings sorted, LF line ends."""

import json
import re
import unicodedata
from typing import Any

import msgspec

INDENT = 2
_ACTING = frozenset(("Cc", "Cf", "Co", "Cs", "Zl", "Zp"))
_HALF_SIGN = re.compile("[\ud800-\udfff]")


def json_bytes(record: object) -> bytes:
    """Write a record, or plain data, as indented JSON.

    What acts on a terminal or turns the reading direction is written as an escape, which reads back to the same text.
    A name of a file may hold bytes that are no text (PEP 383): each becomes U+FFFD, as RFC 8259, 8.2 leaves open what a
    reader makes of half a sign.
    """
    try:
        encoded = msgspec.json.encode(record, order="deterministic")
    except UnicodeEncodeError:
        encoded = msgspec.json.encode(_without_half_signs(msgspec.to_builtins(record, order="deterministic")))
    text = msgspec.json.format(encoded, indent=INDENT).decode()
    if not text.isascii():
        acting = {sign for sign in set(text) if not sign.isascii() and unicodedata.category(sign) in _ACTING}
        for sign in sorted(acting):
            text = text.replace(sign, json.dumps(sign)[1:-1])
    return text.replace("\x7f", "\\u007f").encode() + b"\n"


def _without_half_signs(data: Any) -> Any:  # noqa: ANN401 - plain data of any shape
    if isinstance(data, str):
        return _HALF_SIGN.sub("\N{REPLACEMENT CHARACTER}", data)
    if isinstance(data, dict):
        return {_without_half_signs(key): _without_half_signs(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_without_half_signs(value) for value in data]
    return data
