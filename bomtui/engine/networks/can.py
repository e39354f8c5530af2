"""Classical CAN: the bits of a frame, without stuff bits and with as many as there can be."""

from typing import Final

from bomtui.engine.calc import formula

STUFFED_STANDARD: Final = 34
"""Bits beside the data in which stuff bits can stand, with identifiers of 11 bits.

Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, eq. 1.
"""
STUFFED_EXTENDED: Final = 54
"""The same with identifiers of 29 bits.

Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, eq. 1.
"""


@formula("stuffed_bits + 8 * data_bytes + 13", "", "field list of ISO 11898-1, three bits between frames included")
def plain_bits(data_bytes: int, stuffed_bits: int) -> int:
    """Bits of a frame without any stuff bit, with the space behind it.

    Args:
        data_bytes: Data bytes, 0 to 8.
        stuffed_bits: Bits beside the data in which stuff bits can stand.

    Source: field list of ISO 11898-1: 47 or 67 bits beside the data, three bits between frames included.
    """
    return stuffed_bits + 8 * data_bytes + 13


@formula(
    "stuffed_bits + 8 * data_bytes + 13 + (stuffed_bits + 8 * data_bytes - 1) // 4",
    "",
    "Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, eq. 1",
)
def stuffed_frame_bits(data_bytes: int, stuffed_bits: int) -> int:
    """Most bits that a frame can have, with the space behind it.

    Args:
        data_bytes: Data bytes, 0 to 8.
        stuffed_bits: Bits beside the data in which stuff bits can stand.

    Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, eq. 1: after the first four equal bits every
    further four may bring a stuff bit; that is 55 or 80 bits and ten a byte.
    """
    return stuffed_bits + 8 * data_bytes + 13 + (stuffed_bits + 8 * data_bytes - 1) // 4


@formula(
    "can_length_m * 1000000 / rate_bit_per_s",
    "m",
    "40 m at 1 Mbit/s with one delay for every bit time (practice of ISO 11898-2, seen second-hand)",
)
def longest_line_m(can_length_m: float, rate_bit_per_s: float) -> float:
    """Longest line on which all nodes hear a bit within its time.

    Args:
        can_length_m: Longest line at 1 Mbit/s [m].
        rate_bit_per_s: Arbitration rate [bit/s], above 0.

    Source: 40 m at 1 Mbit/s, practice of ISO 11898-2, seen second-hand; the delay of the line in proportion to the bit
    time. The 1000 m that are quoted for 50 kbit/s are more than the 800 m that this gives.
    """
    return can_length_m * 1000000 / rate_bit_per_s
