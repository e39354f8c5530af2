"""How a figure of which not all is known is written, for people and for programs."""

from math import inf

import pytest

from bomtui.export.explanation import Explanation, explanation_record, explanation_text
from bomtui.model.bound import Range

ONE = frozenset({"M.U1 supply.main"})


@pytest.mark.parametrize(
    ("value", "text", "record"),
    [
        (Range(2.5, inf, ONE), "at least 2.5", ("at_least", 2.5, 2.5, None)),
        (Range(0.0, 2.5, ONE), "at most 2.5", ("at_most", 2.5, 0.0, 2.5)),
        (Range(-inf, 2.5, ONE), "at most 2.5", ("at_most", 2.5, None, 2.5)),
        (Range(2.0, 2.5, ONE), "2 to 2.5", ("at_least", 2.0, 2.0, 2.5)),
        (Range(-0.1, 0.1, ONE), "-0.1 to 0.1", ("at_least", -0.1, -0.1, 0.1)),
        (Range(-inf, inf, ONE), "unbounded", ("at_least", None, None, None)),
    ],
)
def test_ranges(value: Range, text: str, record: tuple[str, float | None, float | None, float | None]) -> None:
    """Both ends are told where both are known, and what is missing is named."""
    explanation = Explanation("M:current_a", value, "somewhere")
    assert explanation_text(explanation).startswith(f"M:current_a = {text} (1 unknown: M.U1 supply.main) A\n")
    found = explanation_record(explanation)
    assert tuple(found[key] for key in ("bound", "value", "low", "high")) == record
    assert found["missing"] == ["M.U1 supply.main"]
