"""Records as JSON text: keys in the order of their definition, entries of mappings sorted, LF line ends."""

import json
import unicodedata

import msgspec

INDENT = 2
_ACTING = frozenset(("Cc", "Cf", "Co", "Cs", "Zl", "Zp"))


def json_bytes(record: object) -> bytes:
    """Write a record, or plain data, as indented JSON.

    What acts on a terminal or turns the reading direction is written as an escape, which reads back to the same text.
    """
    text = msgspec.json.format(msgspec.json.encode(record, order="deterministic"), indent=INDENT).decode()
    if not text.isascii():
        acting = {sign for sign in set(text) if not sign.isascii() and unicodedata.category(sign) in _ACTING}
        for sign in sorted(acting):
            text = text.replace(sign, json.dumps(sign)[1:-1])
    return text.replace("\x7f", "\\u007f").encode() + b"\n"
