"""What can be wished of a package, each wish with its values in turn."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from bomtui.tui.view import PackageWishes

WRITE = "write"
"""Id of the line that goes on to the folder."""

_WISHES: dict[str, tuple[str, Sequence[tuple[Any, str]]]] = {
    "formats": (
        "files",
        (
            ("", "everything: the page, and every artefact as workbook, CSV, Markdown and JSON; CycloneDX"),
            ("html", "the page only: one document of everything, to be read and printed"),
            ("html,xlsx", "the page and the workbooks"),
            ("csv,md,json,cyclonedx", "text files only: CSV, Markdown, JSON, CycloneDX"),
        ),
    ),
    "decimal_comma": (
        "numbers",
        ((False, "0.5 and commas between the cells of CSV"), (True, "0,5 and semicolons between the cells of CSV")),
    ),
    "currency": (
        "currency",
        (
            ("header", "in the headers only"),
            ("code", "its code behind every amount"),
            ("symbol", "its sign behind every amount"),
        ),
    ),
    "paper": ("paper", (("A4", "A4, of the workbooks"), ("Letter", "Letter, of the workbooks"))),
    "forced": (
        "open errors",
        (
            (False, "every file says NOT SENDABLE as long as there are any"),
            (True, "every file says that it was forced in spite of them"),
        ),
    ),
}


def wish_lines(wishes: PackageWishes) -> list[tuple[str, str, str]]:
    """Return id, title and present value of each line: first the one that goes on."""
    first = (WRITE, "go on", "asks for the folder, and writes the package")
    return [first, *((key, title, dict(values)[getattr(wishes, key)]) for key, (title, values) in _WISHES.items())]


def next_value(wishes: PackageWishes, key: str) -> PackageWishes:
    """Return the wishes with the next value of one of them; after the last comes the first."""
    values = [value for value, _ in _WISHES[key][1]]
    place = values.index(getattr(wishes, key)) + 1
    return replace(wishes, **{key: values[place % len(values)]})
