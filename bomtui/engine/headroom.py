"""What an LED driver needs over the voltage of its string."""

from bomtui.engine.calc import formula


@formula("string_v + headroom_v", "V", "drop of driver and wires (common practice, no source)")
def with_headroom_v(string_v: float, headroom_v: float) -> float:
    """Supply voltage that a linear or buck driver needs for a string.

    Args:
        string_v: Voltage of the string [V].
        headroom_v: What the driver needs above it [V].

    Source: common practice, no source.
    """
    return string_v + headroom_v
