"""Lines of key paths: the place that a message names is the place where the fault stands."""

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings

from bomtui.model.proposal import Proposal
from bomtui.storage.proposal.locate import locate
from bomtui.storage.proposal.write import proposal_text
from tests.strategies import proposals

HANDMADE = '''\
format = 1 # "quoted" [x]
title = """two
# no comment
a = 1"""
raw = \'\'\'three
[not.a.table]
\'\'\'

[ zones . "Z 1" ] # comment
list = [ # inside
  "a = 1", # "b"
  'c]',
]
inner = { distance.Z2 = "2 m", name = "#" }
dotted.'quoted.key'."\\u0041" = 3
after = 4

[[rows]]
x = 1
'''


@pytest.mark.parametrize(
    ("path", "start"),
    [
        (("format",), "format"),
        (("title",), "title"),
        (("raw",), "raw"),
        (("zones",), "[ zones"),
        (("zones", "Z 1"), "[ zones"),
        (("zones", "Z 1", "list"), "list"),
        (("zones", "Z 1", "inner", "distance", "Z2"), "inner"),
        (("zones", "Z 1", "dotted"), "dotted"),
        (("zones", "Z 1", "dotted", "quoted.key", "A"), "dotted"),
        (("zones", "Z 1", "after"), "after"),
        (("zones", "Z 1", "missing", "deeper"), "[ zones"),
        (("rows",), "[[rows"),
        (("rows", "x"), "x = 1"),
    ],
)
def test_every_way_of_writing_a_key(path: tuple[str, ...], start: str) -> None:
    """Strings over several lines, lists, inline tables, quoted and dotted keys do not lead the scan astray."""
    assert tomllib.loads(HANDMADE)
    line = locate(HANDMADE).line(path)
    assert line is not None
    assert HANDMADE.split("\n")[line - 1].startswith(start)


def test_what_the_file_does_not_name_has_no_line() -> None:
    """A path of which not even the first key stands in the file, and the file itself, have no line."""
    assert locate(HANDMADE).line(("vehicle", "supply")) is None
    assert locate(HANDMADE).line(()) is None


def test_comments_are_found_where_they_stand() -> None:
    """Only what TOML takes for a comment is one."""
    comments = [(comment.line, comment.text) for comment in locate(HANDMADE).comments]
    assert comments == [(1, '# "quoted" [x]'), (9, "# comment"), (10, "# inside"), (11, '# "b"')]


def leaves(table: dict[str, Any], path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Paths of all values of a parsed file."""
    found: list[tuple[str, ...]] = []
    for key, value in table.items():
        found.extend(leaves(value, (*path, key)) if isinstance(value, dict) else [(*path, key)])
    return found


@pytest.mark.slow
@given(proposals())
@settings(max_examples=100)
def test_every_value_is_found_at_the_line_that_holds_its_key(proposal: Proposal) -> None:
    """In a canonical file each value stands at a line of its own that ends its key path in the written key."""
    text = proposal_text(proposal)
    lines = text.split("\n")
    locations = locate(text)
    seen: set[int] = set()
    for path in leaves(tomllib.loads(text)):
        line = locations.lines[path]
        assert line not in seen
        seen.add(line)
        key = lines[line - 1].split(" = ")[0]
        assert ".".join(path).endswith(key)


def test_a_text_that_is_no_toml_ends_the_scan() -> None:
    """The scan stops at what it does not know instead of looping or raising."""
    for text in ("", "= 3", "a", "[", '"open', "a = [1,\n", "\x00", "[a\nb = 1"):
        assert locate(text).line(("nothing",)) is None
