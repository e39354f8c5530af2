"""Markdown in which text from files stays text."""

import pytest

from bomtui.export.markdown import escaped


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("a|b", "a\\|b"),
        ("<script>", "\\<script\\>"),
        ("[x](y)", "\\[x\\](y)"),
        ("*bold* `code` _it_", "\\*bold\\* \\`code\\` \\_it\\_"),
        ("two\nlines", "two lines"),
        ("1-05-15", "1-05-15"),
        ("&amp;", "\\&amp;"),
    ],
)
def test_markup_is_escaped(text: str, written: str) -> None:
    """Nothing in a cell starts emphasis, code, a link, a tag or another cell."""
    assert escaped(text) == written
