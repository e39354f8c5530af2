"""CAN FD: bits of a frame at both of its bit rates.

Bits of the arbitration rate: start, identifier and control bits up to the switch of the rate, and from the delimiter of
the checksum to the space behind the frame. The switching bit and the delimiter count whole at the slower rate. Bits of
the data rate: error state, length, data, count of stuff bits, checksum with its fixed stuff bits.
"""

from typing import Final

from bomtui.engine.calc import formula

HEAD_STANDARD: Final = 17
"""Bits from the start of a frame to the switch of the rate, with identifiers of 11 bits.

Source: field list of ISO 11898-1:2015.
"""
HEAD_EXTENDED: Final = 36
"""The same with identifiers of 29 bits. Source: field list of ISO 11898-1:2015."""


@formula(
    "data_bytes if data_bytes <= 8 else -(-data_bytes // 4) * 4 if data_bytes <= 24"
    " else 32 if data_bytes <= 32 else 48 if data_bytes <= 48 else 64",
    "",
    "payload sizes of ISO 11898-1: 0 to 8, 12, 16, 20, 24, 32, 48, 64 (values from memory)",
)
def payload_bytes(data_bytes: int) -> int:
    """Bytes that a frame has room for, which is what is sent.

    Args:
        data_bytes: Data bytes, 0 to 64.

    Source: payload sizes of ISO 11898-1, values from memory: 0 to 8, 12, 16, 20, 24, 32, 48, 64.
    """
    if data_bytes <= 8:
        return data_bytes
    if data_bytes <= 24:
        return -(-data_bytes // 4) * 4
    if data_bytes <= 32:
        return 32
    return 48 if data_bytes <= 48 else 64


@formula(
    "head_bits + 13", "", "field list of ISO 11898-1:2015: 13 bits from the checksum's delimiter to the next frame"
)
def arbitration_bits(head_bits: int) -> int:
    """Bits at the arbitration rate without stuff bits.

    Args:
        head_bits: Bits up to the switch of the rate.

    Source: field list of ISO 11898-1:2015: delimiter, acknowledge and its delimiter, 7 bits of end, 3 bits of space.
    """
    return head_bits + 13


@formula(
    "head_bits + 13 + (head_bits - 1) // 4",
    "",
    "derivation: the rule of stuffing of Davis et al. 2007 on the field list of ISO 11898-1:2015",
)
def stuffed_arbitration_bits(head_bits: int) -> int:
    """Most bits at the arbitration rate.

    Args:
        head_bits: Bits up to the switch of the rate.

    Source: derivation from the rule of stuffing (Davis et al. 2007) and the field list of ISO 11898-1:2015; bits whose
    value is fixed are counted as if they could be anything, so that this is an upper bound.
    """
    return head_bits + 13 + (head_bits - 1) // 4


@formula(
    "5 + 8 * data_bytes + (27 if data_bytes <= 16 else 32)",
    "",
    "field list of ISO 11898-1:2015: checksum of 17 or 21 bits, count of stuff bits and fixed stuff bits included",
)
def data_bits(data_bytes: int) -> int:
    """Bits at the data rate without dynamic stuff bits.

    Args:
        data_bytes: Bytes that the frame has room for.

    Source: field list of ISO 11898-1:2015: error state and length 5 bits; count of stuff bits 4, checksum 17 and 6
    fixed stuff bits up to 16 bytes, 21 and 7 above.
    """
    return 5 + 8 * data_bytes + (27 if data_bytes <= 16 else 32)


@formula(
    "5 + 8 * data_bytes + (27 if data_bytes <= 16 else 32)"
    " + (head_bits + 4 + 8 * data_bytes) // 4 - (head_bits - 1) // 4",
    "",
    "derivation: the rule of stuffing of Davis et al. 2007 on the field list of ISO 11898-1:2015",
)
def stuffed_data_bits(data_bytes: int, head_bits: int) -> int:
    """Most bits at the data rate.

    Args:
        data_bytes: Bytes that the frame has room for.
        head_bits: Bits up to the switch of the rate.

    Source: derivation from the rule of stuffing (Davis et al. 2007) and the field list of ISO 11898-1:2015; the
    checksum has fixed stuff bits only.
    """
    fixed = 5 + 8 * data_bytes + (27 if data_bytes <= 16 else 32)
    return fixed + (head_bits + 4 + 8 * data_bytes) // 4 - (head_bits - 1) // 4


@formula("arbitration_bits / rate_bit_per_s + data_bits / data_rate_bit_per_s", "s", "bits of each rate at their rate")
def frame_time_s(arbitration_bits: int, rate_bit_per_s: float, data_bits: int, data_rate_bit_per_s: float) -> float:
    """Time of a frame and the space behind it.

    Args:
        arbitration_bits: Bits at the arbitration rate.
        rate_bit_per_s: Arbitration rate [bit/s], above 0.
        data_bits: Bits at the data rate.
        data_rate_bit_per_s: Data rate [bit/s], above 0.

    Source: bits of each rate at their rate (definition).
    """
    return arbitration_bits / rate_bit_per_s + data_bits / data_rate_bit_per_s
