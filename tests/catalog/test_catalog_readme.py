"""The catalog's README says what each column means, in the words of the field table."""

import csv
import re
from pathlib import Path

from bomtui.model.fields import FieldInfo, fields_by_key
from bomtui.model.part import PART_KINDS, Part
from tests.architecture.scan import REPO

CATALOG = REPO / "catalog"
SIDES = ("min", "typ", "max")


def headers(path: Path) -> list[tuple[list[str], str]]:
    """Columns of a table without its key: steps of the name, and the unit."""
    with path.open(encoding="utf-8", newline="") as file:
        header = next(csv.reader(file))
    found = []
    for name in header[1:]:
        match = re.fullmatch(r"([^ ]+)(?: \[(.+)\])?", name)
        assert match is not None, name
        found.append((match[1].split("."), match[2] or ""))
    return found


def described(steps: list[str]) -> tuple[str, str, FieldInfo]:
    """Name of a column in the README, which of min, typ and max it is, and its row of the field table."""
    name, *_ = steps
    info = fields_by_key(Part)[name]
    if info.record is not None:
        info = fields_by_key(info.record)[steps[2]]
        name = f"{steps[0]}.NAME.{steps[2]}"
        steps = steps[2:]
    elif info.shape == "words":
        return f"{name}.FUNCTION", "", info
    return name, steps[1] if steps[1:] else "", info


def column_lines() -> list[str]:
    """The lines that the README must hold, in the order of the field table."""
    units: dict[str, set[str]] = {}
    sides: dict[str, set[str]] = {}
    help_of: dict[str, str] = {}
    place: dict[str, tuple[int, int]] = {}
    table = fields_by_key(Part)
    for kind in PART_KINDS:
        path = CATALOG / f"{kind}.csv"
        for steps, unit in headers(path) if path.is_file() else ():
            name, side, info = described(steps)
            units.setdefault(name, set()).add(unit)
            sides.setdefault(name, set()).add(side)
            help_of[name] = info.help
            place[name] = (
                list(table).index(steps[0]),
                list(fields_by_key(table[steps[0]].record or Part)).index(info.key),
            )
    return [
        f"| `{name}` | {', '.join(sorted(units[name]))} | {', '.join(side for side in SIDES if side in sides[name])} | "
        f"{help_of[name]} |"
        for name in sorted(place, key=lambda name: place[name])
    ]


def test_every_column_is_described_in_the_words_of_the_field_table() -> None:
    """The README's table of columns is the one that tables and field table give, line by line."""
    lines = (CATALOG / "README.md").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if line.startswith("| `")] == column_lines()


def test_every_table_is_named_after_the_kind_it_holds() -> None:
    """A file of the catalog holds parts of the one kind that its name says."""
    for path in CATALOG.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            assert {row["kind"] for row in csv.DictReader(file)} == {path.stem}
