"""Radio links: loss of the way, what reaches the receiver, and time on the air."""

from math import log10

from bomtui.engine.calc import formula


@formula(
    "20 * log10(4 * 3.14159265358979 * distance_m * frequency_hz / 299792458)",
    "dB",
    "H. T. Friis 1946, Proc. IRE 34:254-256: free space between isotropic antennas",
)
def path_loss_db(distance_m: float, frequency_hz: float) -> float:
    """Loss of free space.

    Args:
        distance_m: Way [m], above 0 and well above a wavelength.
        frequency_hz: Carrier [Hz], above 0.

    Source: H. T. Friis 1946, Proc. IRE 34:254-256. With metres and megahertz that is 20 log d + 20 log f - 27.55.
    """
    return 20 * log10(4 * 3.14159265358979 * distance_m * frequency_hz / 299792458)


@formula(
    "power_dbm + sender_gain_db + receiver_gain_db - path_loss_db - fade_db - metal_loss_db",
    "dBm",
    "sum of gains and losses in decibels (common practice, no source)",
)
def received_dbm(
    power_dbm: float,
    sender_gain_db: float,
    receiver_gain_db: float,
    path_loss_db: float,
    fade_db: float,
    metal_loss_db: float,
) -> float:
    """Lowest power that reaches the receiver.

    Args:
        power_dbm: Transmit power [dBm].
        sender_gain_db: Gain of the sender's antenna [dB].
        receiver_gain_db: Gain of the receiver's antenna [dB].
        path_loss_db: Loss of free space [dB].
        fade_db: Loss by fading [dB].
        metal_loss_db: Loss by metal around [dB].

    Source: sum of gains and losses in decibels (common practice, no source).
    """
    return power_dbm + sender_gain_db + receiver_gain_db - path_loss_db - fade_db - metal_loss_db


@formula("8 * data_bytes / rate_bit_per_s", "s", "eight bits a byte; air time of IEEE 802.15.4 frames at 250 kbit/s")
def air_time_s(data_bytes: int, rate_bit_per_s: float) -> float:
    """Time of a frame on the air.

    Args:
        data_bytes: All bytes on the air, preamble included.
        rate_bit_per_s: Bit rate [bit/s], above 0.

    Source: eight bits a byte; air time of IEEE 802.15.4 frames in public training slides.
    """
    return 8 * data_bytes / rate_bit_per_s
