"""Times of bits and what share of a network frames take."""

from bomtui.engine.calc import formula


@formula("bits / rate_bit_per_s", "s", "definition of a bit rate")
def bits_time_s(bits: int, rate_bit_per_s: float) -> float:
    """Time that some bits take.

    Args:
        bits: How many.
        rate_bit_per_s: Bit rate [bit/s], above 0.

    Source: definition of a bit rate.
    """
    return bits / rate_bit_per_s


@formula("frame_s / period_s", "", "share of the time in which a periodic frame is on the line")
def load_ratio(frame_s: float, period_s: float) -> float:
    """Share of a network that one message takes.

    Args:
        frame_s: Time of the frame [s].
        period_s: Time from one to the next [s], above 0.

    Source: share of the time in which a periodic frame is on the line (definition).
    """
    return frame_s / period_s
