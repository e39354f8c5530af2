"""Whether a part is declared below what a function asks."""

import pytest

from bomtui.engine.capability import falls_short
from bomtui.model.load import SAFETY_LEVELS


@pytest.mark.parametrize("asked", SAFETY_LEVELS)
@pytest.mark.parametrize("declared", SAFETY_LEVELS)
def test_levels(declared: str, asked: str) -> None:
    """A part falls short of every level above its own and of none at or below it."""
    assert falls_short(declared, asked) is (SAFETY_LEVELS.index(declared) < SAFETY_LEVELS.index(asked))


def test_a_part_that_declares_nothing() -> None:
    """It serves what asks nothing; whether it serves more is not known."""
    assert falls_short(None, "QM") is False
    assert falls_short(None, "A") is None
