"""Integrity levels: whether what a part is declared for reaches what a function asks."""

from bomtui.model.load import SAFETY_LEVELS


def falls_short(declared: str | None, asked: str) -> bool | None:
    """Tell whether a part is declared below the level that a function asks for; None where that is not known.

    A function that asks nothing beyond quality management is served by a part that declares nothing.

    Args:
        declared: Highest level for which the part is declared; None where it declares none.
        asked: Level that the function asks for.

    Source: ISO 26262: elements inherit the integrity level of the function (value from memory).
    """
    if asked == SAFETY_LEVELS[0]:
        return False
    if declared is None:
        return None
    return SAFETY_LEVELS.index(declared) < SAFETY_LEVELS.index(asked)
