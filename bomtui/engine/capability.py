"""Integrity levels: whether what a part is declared for reaches what a function asks."""

from bomtui.model.part import Part
from bomtui.model.safety import LEVELS, NO_LEVEL


def declared_for(part: Part | None, scheme: str) -> str | None:
    """Return the highest level of a scheme for which a part is declared usable; None where it declares none."""
    if part is None:
        return None
    return {"ASIL": part.safety, "PL": part.safety_pl, "SIL": part.safety_sil}.get(scheme)


def asks_something(scheme: str, level: str) -> bool:
    """Tell whether a function asks for more than quality management."""
    return scheme in LEVELS and level != NO_LEVEL


def falls_short(declared: str | None, asked: str, scheme: str = "ASIL") -> bool | None:
    """Tell whether a part is declared below the level that a function asks for; None where that is not known.

    A function that asks nothing beyond quality management is served by a part that declares nothing. A level that the
    scheme does not have is not compared, nor are levels of different schemes.

    Args:
        declared: Highest level of the scheme for which the part is declared; None where it declares none.
        asked: Level that the function asks for.
        scheme: Scheme of the function.

    Source: ISO 26262: elements inherit the integrity level of the function (value from memory); the same is taken for
    ISO 13849-1 and IEC 61508, common practice.
    """
    if not asks_something(scheme, asked):
        return False
    levels = LEVELS[scheme]
    if declared is None or asked not in levels:
        return None
    return levels.index(declared) < levels.index(asked)
