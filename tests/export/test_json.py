"""JSON text that cannot act on a terminal and loses nothing."""

import json
import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from bomtui.export.json import json_bytes


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_any_text_reads_back(text: str) -> None:
    """Whatever a name holds is read back letter by letter, and no control or format character stands in the bytes."""
    written = json_bytes({"name": text}).decode()
    acting = {sign for sign in written if unicodedata.category(sign) in {"Cc", "Cf"}} - {"\n"}
    assert json.loads(written) == {"name": text}
    assert acting == set()


def test_bytes_that_are_no_text() -> None:
    """Half a sign, as PEP 383 reads them from the name of a file, is written as a sign that every reader knows."""
    assert json.loads(json_bytes({"names": ("caf\udce9", "cafe")})) == {"names": ["caf\ufffd", "cafe"]}


def test_mappings_are_sorted() -> None:
    """Two mappings of one content give the same bytes."""
    assert json_bytes({"b": 1, "a": 2}) == json_bytes({"a": 2, "b": 1}) == b'{\n  "a": 2,\n  "b": 1\n}\n'
