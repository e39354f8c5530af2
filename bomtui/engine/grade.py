"""Ambient temperature grades of parts."""

from bomtui.engine.calc import formula

GRADE_MAX_DEGC: dict[str, float] = {"G0": 150.0, "G1": 125.0, "G2": 105.0, "G3": 85.0}
"""Highest ambient temperature per grade. Source: AEC-Q100, seen second-hand in two places."""


@formula("air_degc + margin_k", "degC", "margin below the end of a grade (common practice, no source)")
def with_margin_degc(air_degc: float, margin_k: float) -> float:
    """Air temperature that a part must stand for a margin to be left.

    Args:
        air_degc: Air at the board [degC].
        margin_k: Margin [K].

    Source: common practice, no source.
    """
    return air_degc + margin_k
