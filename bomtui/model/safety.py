"""Integrity schemes and their levels."""

from collections.abc import Mapping

SCHEMES = ("ASIL", "PL", "SIL", "none")
"""ISO 26262, ISO 13849-1, IEC 61508 with IEC 62061, or no scheme at all."""

NO_LEVEL = "QM"
"""What a function says that asks for nothing beyond quality management, whatever its scheme."""

LEVELS: Mapping[str, tuple[str, ...]] = {
    "ASIL": (NO_LEVEL, "A", "B", "C", "D"),
    "PL": ("a", "b", "c", "d", "e"),
    "SIL": ("1", "2", "3", "4"),
}
"""Levels per scheme, lowest first; levels of different schemes are not compared, as no standard makes them equal.

Source: ISO 26262-1 (ASIL A to D and QM), ISO 13849-1 (performance levels a to e), IEC 61508-4 (safety integrity levels
1 to 4): values from memory.
"""

PERFORMANCE_LEVELS = LEVELS["PL"]
INTEGRITY_LEVELS = LEVELS["SIL"]
SAFETY_LEVELS = LEVELS["ASIL"]
"""Levels that a part can declare per scheme."""

ASKED_LEVELS = (*SAFETY_LEVELS, *PERFORMANCE_LEVELS, *INTEGRITY_LEVELS)
"""All that a function can ask."""


def level_in(scheme: str, text: str) -> str | None:
    """Return a level of a scheme as the scheme writes it, whatever letters people took; None for none of it."""
    lawful = (NO_LEVEL, *LEVELS.get(scheme, ASKED_LEVELS))
    return text if text in lawful else next((own for own in lawful if own.casefold() == text.casefold()), None)


def level_word(scheme: str, level: str) -> str:
    """Return a level as people write it: `QM`, `ASIL B`, `PL d`, `SIL 2`, or `no scheme`."""
    if scheme == "none":
        return "no scheme"
    return level if level == NO_LEVEL else f"{scheme} {level}"


def level_rank(scheme: str, level: str) -> tuple[int, int]:
    """Return a sort key of levels: scheme by scheme, the highest level first, what asks nothing last."""
    if scheme == "none" or level == NO_LEVEL:
        return len(SCHEMES), SCHEMES.index(scheme)
    levels = LEVELS[scheme]
    return SCHEMES.index(scheme), -levels.index(level) if level in levels else 1
