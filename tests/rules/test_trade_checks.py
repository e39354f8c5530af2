"""Every check of the trade has a rule, or a place where it is decided."""

import csv
import re

import pytest

from bomtui.rules.registry import RULES
from tests.rules.build import HERE

NAMES = {rule.name for rule in RULES}
RULE_NAME = re.compile(r"\b[a-z]+\.[a-z]+\b(?!\.|/)")


def checks() -> list[dict[str, str]]:
    """Rows of the table: what is checked, and by which rules or where."""
    with (HERE / "trade_checks.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


@pytest.mark.parametrize("row", checks(), ids=lambda row: row["check"])
def test_a_check_is_decided_by_rules_that_exist(row: dict[str, str]) -> None:
    """Each name of a rule in the table is one of the registry, and each row names one."""
    named = {name for name in RULE_NAME.findall(row["decided_by"]) if not name.endswith(".py")}
    assert named
    assert named <= NAMES


def test_the_table_holds_all_sixty_checks() -> None:
    """No check is left out."""
    assert len({row["check"] for row in checks()}) == 60
