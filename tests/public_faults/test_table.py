"""The table of faults names tests that are there, or says why nothing of the kind can happen here."""

import csv
import re
from pathlib import Path

TESTS = Path(__file__).parents[1]
TABLE = Path(__file__).with_name("faults.csv")


def rows() -> list[dict[str, str]]:
    """The faults."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_no_fault_stands_twice_and_none_is_left_out() -> None:
    """62 faults of programs (F) and 55 of people's lists (P)."""
    expected = [f"{letter}{number:02d}" for letter, count in (("F", 62), ("P", 55)) for number in range(1, count + 1)]
    assert [row["entry"] for row in rows()] == expected


def test_every_fault_has_its_tests_or_a_reason() -> None:
    """Every test that is named is there."""
    for row in rows():
        assert row["fault"]
        assert row["tests"] or row["remark"].startswith("not applicable: "), row
        for named in row["tests"].split():
            file_name, _, test = named.partition(":")
            text = (TESTS / file_name).read_text(encoding="utf-8")
            assert re.search(rf"^(async )?def {test}\(", text, re.MULTILINE), named
