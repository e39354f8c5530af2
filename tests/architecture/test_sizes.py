"""One idea per file: no file grows into a room that too many ideas live in."""

from collections.abc import Iterable

from tests.architecture.scan import python_files, relative

LONGEST_MODULE = 500
LONGEST_TEST = 600


def too_long(lengths: Iterable[tuple[str, int]]) -> list[str]:
    """Name the files that are longer than a file of their kind may be."""
    return [
        f"{name} has {length} lines, the limit is {limit}"
        for name, length in lengths
        if length > (limit := LONGEST_TEST if name.startswith("tests/") else LONGEST_MODULE)
    ]


def test_no_file_is_too_long() -> None:
    """A module has at most 500 lines, a test file at most 600."""
    files = python_files("bomtui", "tests")
    assert too_long((relative(path), len(path.read_text(encoding="utf-8").splitlines())) for path in files) == []


def test_long_files_are_seen() -> None:
    """The limits are inclusive and differ for modules and tests."""
    lengths = [("bomtui/a.py", 500), ("bomtui/b.py", 501), ("tests/c.py", 600), ("tests/d.py", 601)]
    assert [fault.split()[0] for fault in too_long(lengths)] == ["bomtui/b.py", "tests/d.py"]
