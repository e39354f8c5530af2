"""Whether a part is declared below what a function asks."""

import itertools

import pytest

from bomtui.engine.capability import declared_for, falls_short
from bomtui.model.part import Part
from bomtui.model.safety import LEVELS, SAFETY_LEVELS, level_rank, level_word


@pytest.mark.parametrize("asked", SAFETY_LEVELS)
@pytest.mark.parametrize("declared", SAFETY_LEVELS)
def test_levels(declared: str, asked: str) -> None:
    """A part falls short of every level above its own and of none at or below it."""
    assert falls_short(declared, asked) is (SAFETY_LEVELS.index(declared) < SAFETY_LEVELS.index(asked))


def test_a_part_that_declares_nothing() -> None:
    """It serves what asks nothing; whether it serves more is not known."""
    assert falls_short(None, "QM") is False
    assert falls_short(None, "A") is None


@pytest.mark.parametrize("scheme", LEVELS)
def test_levels_of_each_scheme_are_ordered(scheme: str) -> None:
    """Of every scheme the next lower level falls short and the level itself does not."""
    levels = LEVELS[scheme]
    assert all(falls_short(low, high, scheme) is True for low, high in itertools.pairwise(levels))
    assert all(falls_short(level, level, scheme) is False for level in levels)


def test_levels_of_another_scheme_are_not_compared() -> None:
    """A level that the scheme does not have leaves it open, and no scheme asks nothing."""
    assert falls_short("e", "B", "PL") is None
    assert falls_short("D", "d", "ASIL") is None
    assert falls_short(None, "QM", "PL") is False
    assert falls_short(None, "B", "none") is False


def test_a_part_declares_each_scheme_by_itself() -> None:
    """Being declared for one scheme says nothing of the others."""
    part = Part(kind="controller", safety="D", safety_pl="d")
    assert [declared_for(part, scheme) for scheme in ("ASIL", "PL", "SIL", "none")] == ["D", "d", None, None]
    assert declared_for(None, "ASIL") is None


def test_levels_in_words_and_in_order() -> None:
    """A level is written with its scheme; the highest stands first, what asks nothing last."""
    asked = [("ASIL", "QM"), ("SIL", "2"), ("ASIL", "B"), ("PL", "d"), ("ASIL", "D"), ("none", "B")]
    words = [level_word(*own) for own in sorted(asked, key=lambda own: level_rank(*own))]
    assert words == ["ASIL D", "ASIL B", "PL d", "SIL 2", "QM", "no scheme"]
