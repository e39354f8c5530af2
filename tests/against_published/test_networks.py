"""Frames, loads, response times and budgets of networks against standards, papers and worked examples."""

from itertools import pairwise
from math import log10

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.networks.can import (
    STUFFED_EXTENDED,
    STUFFED_STANDARD,
    longest_line_m,
    plain_bits,
    stuffed_frame_bits,
)
from bomtui.engine.networks.can_fd import (
    HEAD_EXTENDED,
    HEAD_STANDARD,
    arbitration_bits,
    data_bits,
    frame_time_s,
    payload_bytes,
    stuffed_arbitration_bits,
    stuffed_data_bits,
)
from bomtui.engine.networks.lin import frame_bits, slot_bits
from bomtui.engine.networks.optical import margin_db, received_light_dbm
from bomtui.engine.networks.radio import air_time_s, path_loss_db, received_dbm
from bomtui.engine.networks.response import Timed, worst_response_s
from bomtui.engine.networks.result import network_result
from bomtui.engine.networks.timing import bits_time_s, load_ratio
from bomtui.model.bound import Range, Value
from bomtui.model.limits import Limits
from bomtui.model.network import Message, Network
from bomtui.model.rollup import NetworkResult

SIZES = (1, 2, 4, 8)


def computed(network: Network) -> NetworkResult:
    """The result of a network without nodes."""
    return network_result(PLAIN, "N", network, (), Limits())


@pytest.mark.parametrize(("data_bytes", "bits"), [(1, 54), (2, 64), (4, 84), (8, 124)])
def test_lin_frames(data_bytes: int, bits: int) -> None:
    """LIN 2.x sec. 2.3.2, ISO 17987-3, seen second-hand: 34 bits and ten for each byte and the checksum; 1.4 times."""
    assert frame_bits(data_bytes) == bits
    assert slot_bits(data_bytes) == pytest.approx(1.4 * bits, rel=1e-15)


@pytest.mark.parametrize(
    ("rate_bit_per_s", "nominal_ms", "slot_ms"),
    [
        # A public calculator prints 2 bytes 3.33 and 4.66 ms, 4 bytes 4.37 and 6.12 ms at 19.2 kbit/s. For 8 bytes it
        # prints 5.94 ms, which lacks the checksum; the others are recomputed from LIN 2.x sec. 2.3.2.
        (19.2e3, [2.8125, 3.3333, 4.3750, 6.4583], [3.9375, 4.6667, 6.1250, 9.0417]),
        (20e3, [2.7, 3.2, 4.2, 6.2], [3.78, 4.48, 5.88, 8.68]),
        (9.6e3, [5.6250, 6.6667, 8.7500, 12.9167], [7.8750, 9.3333, 12.2500, 18.0833]),
    ],
)
def test_lin_times(rate_bit_per_s: float, nominal_ms: list[float], slot_ms: list[float]) -> None:
    """Nominal and longest time of frames at three rates."""
    for size, nominal, slot in zip(SIZES, nominal_ms, slot_ms, strict=True):
        assert bits_time_s(frame_bits(size), rate_bit_per_s) * 1e3 == pytest.approx(nominal, abs=1e-4)
        longest = PLAIN(bits_time_s, bits=slot_bits(size), rate_bit_per_s=rate_bit_per_s)
        assert isinstance(longest, float)
        assert longest * 1e3 == pytest.approx(slot, abs=1e-4)


def test_lin_schedule_of_a_door() -> None:
    """A public worked example: 2 + 4 + 2 + 4 bytes at 19.2 kbit/s, 21.56 ms and 46 Hz from rounded terms."""
    messages = {f"m{row}": Message(sender="c", data_bytes=size) for row, size in enumerate((2, 4, 2, 4))}
    cycle = computed(Network(kind="LIN", rate_bit_per_s=19.2e3, messages=messages)).cycle_s
    assert isinstance(cycle, float)
    assert cycle * 1e3 == pytest.approx(21.583, abs=1e-3)
    assert 1 / cycle == pytest.approx(46.33, abs=0.01)


def test_lin_load() -> None:
    """8 bytes each 10 ms at 19.2 kbit/s, recomputed from LIN 2.x sec. 2.3.2: 64.58 %, as a slot 90.42 %."""
    messages = {"m": Message(sender="c", data_bytes=8, period_s=10e-3)}
    load = computed(Network(kind="LIN", rate_bit_per_s=19.2e3, messages=messages)).load_ratio
    assert load.typ == pytest.approx(0.6458, abs=1e-4)
    assert load.max == pytest.approx(0.9042, abs=1e-4)


def test_lin_of_the_older_revision() -> None:
    """LIN 1.3, as a controller manual counts it, allows 1.4 (44 + 10 n + 1) bits: 175 for 8 bytes, 0.8 % more."""
    older = 1.4 * (44 + 10 * 8 + 1)
    assert older == pytest.approx(175)
    assert 1 < older / slot_bits(8) < 1.009


def test_lin_limits() -> None:
    """LIN 2.x and ISO 17987-4, seen second-hand in three places: 16 nodes, 40 m, 20 kbit/s."""
    limits = Limits()
    assert (limits.lin_nodes, limits.lin_length_m, limits.lin_rate_bit_per_s) == (16, 40.0, 20e3)


def test_can_frames_of_the_paper() -> None:
    """Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, eq. 1 to 3: 55 + 10 n and 80 + 10 n bits."""
    for size in range(9):
        assert stuffed_frame_bits(size, STUFFED_STANDARD) == 55 + 10 * size
        assert stuffed_frame_bits(size, STUFFED_EXTENDED) == 80 + 10 * size


def test_can_frames_without_stuff_bits() -> None:
    """Field list of ISO 11898-1, as in the public header `linux/can/length.h`: 111 and 131 bits for 8 bytes."""
    assert (plain_bits(8, STUFFED_STANDARD), plain_bits(8, STUFFED_EXTENDED)) == (111, 131)
    assert (plain_bits(0, STUFFED_STANDARD), plain_bits(0, STUFFED_EXTENDED)) == (47, 67)


@pytest.mark.parametrize(("rate_bit_per_s", "time_us"), [(1e6, 135), (500e3, 270), (250e3, 540), (125e3, 1080)])
def test_can_frame_times(rate_bit_per_s: float, time_us: float) -> None:
    """135 bits, the longest standard frame: a public unit test has 0.27 ms at 500 kbit/s."""
    assert bits_time_s(stuffed_frame_bits(8, STUFFED_STANDARD), rate_bit_per_s) * 1e6 == pytest.approx(
        time_us, rel=1e-12
    )


def test_can_lines() -> None:
    """Practice of ISO 11898-2 in a public list, seen second-hand: 40 m at 1 Mbit/s; 1000 m at 50 kbit/s is no less."""
    assert longest_line_m(Limits().can_length_m, 1e6) == 40.0
    assert longest_line_m(Limits().can_length_m, 50e3) <= 1000.0


FIVE = {"A": (2, 10e-3), "B": (8, 5e-3), "C": (8, 5e-3), "D": (8, 20e-3), "E": (8, 100e-3)}


def can_bus(messages: dict[str, tuple[int, float]], rate_bit_per_s: float) -> Network:
    """A network of standard frames without jitter, the first with the lowest identifier."""
    return Network(
        kind="CAN",
        rate_bit_per_s=rate_bit_per_s,
        messages={
            key: Message(sender=key, identifier=row, data_bytes=size, period_s=period_s, jitter_s=0.0)
            for row, (key, (size, period_s)) in enumerate(messages.items())
        },
    )


def test_five_messages() -> None:
    """A tutorial's worked example after Davis et al. 2007, 500 kbit/s: 13.9 %; 420, 1230 and 1230 us for A, D and E.

    The tutorial does not print B and C; by hand: 270 us of the frame in the way, 150 us of A, and B itself 270 us are
    690 us; one more 270 us for C.
    """
    found = computed(can_bus(FIVE, 500e3))
    assert found.load_ratio.max == pytest.approx(0.1392, abs=5e-5)
    responses = {own.id: own.response_s for own in found.messages}
    assert responses == {
        "A": pytest.approx(420e-6, abs=1e-9),
        "B": pytest.approx(690e-6, abs=1e-9),
        "C": pytest.approx(960e-6, abs=1e-9),
        "D": pytest.approx(1230e-6, abs=1e-9),
        "E": pytest.approx(1230e-6, abs=1e-9),
    }
    assert found.slowest is not None
    assert found.slowest.id in {"D", "E"}


def test_the_second_instance_misses_its_deadline() -> None:
    """Davis et al. 2007, tables 1 and 2 (message set from memory): R = 2, 3, 3.5 ms at a load of 97.1 %.

    Looking at the first instance alone gives 3 ms for C, which would keep its deadline of 3.25 ms.
    """
    periods_s = (2.5e-3, 3.5e-3, 3.5e-3)
    messages = [Timed("ABC"[row], (row, 0), 1e-3, period_s, 0.0) for row, period_s in enumerate(periods_s)]
    responses = []
    for own in messages:
        found = worst_response_s(PLAIN, own, [other for other in messages if other is not own], 8e-6)
        assert isinstance(found, float)
        responses.append(found)
    assert responses == pytest.approx([2e-3, 3e-3, 3.5e-3], abs=1e-12)
    assert sum(load_ratio(1e-3, period_s) for period_s in periods_s) == pytest.approx(0.9714, abs=5e-5)
    assert [found > due for found, due in zip(responses, (2.5e-3, 3.25e-3, 3.25e-3), strict=True)] == [
        False,
        False,
        True,
    ]


def test_twelve_messages_in_a_millisecond() -> None:
    """A public worked example: 12 frames of 8 bytes a millisecond at 1 Mbit/s load it by 162 %, at 250 Hz by 40.5 %."""
    for period_s, load in ((1e-3, 1.62), (4e-3, 0.405)):
        found = computed(can_bus({f"m{row}": (8, period_s) for row in range(12)}, 1e6))
        assert found.load_ratio.max == pytest.approx(load, rel=1e-12)
    full = computed(can_bus({f"m{row}": (8, 1e-3) for row in range(12)}, 1e6))
    last = next(own.response_s for own in full.messages if own.id == "m11")
    assert isinstance(last, Range)
    assert last.low > 1e-3


def test_load_halves_when_the_rate_doubles() -> None:
    """Tindell and Burns 1994 (YCS 229) print 125.28, 62.64, 31.32, 15.66 % at 125 to 1000 kbit/s: no value is held."""
    loads = [computed(can_bus(FIVE, rate)).load_ratio.max for rate in (125e3, 250e3, 500e3, 1e6)]
    for slow, fast in pairwise(loads):
        assert isinstance(slow, float)
        assert fast == pytest.approx(slow / 2)


def test_can_fd_frames() -> None:
    """Public header `linux/can/length.h`: 67 and 86 bits beside the data above 16 bytes; 579 and 598 for 64 bytes.

    Up to 16 bytes the checksum is shorter by four bits and has one fixed stuff bit less: 62 and 81 (derivation).
    """
    for head, above, below in ((HEAD_STANDARD, 67, 62), (HEAD_EXTENDED, 86, 81)):
        assert arbitration_bits(head) + data_bits(64) == above + 512
        assert arbitration_bits(head) + data_bits(16) == below + 128
        assert arbitration_bits(head) + data_bits(0) == below


def test_can_fd_stuff_bits() -> None:
    """The bound on stuff bits is that of Davis et al. 2007 for the bits from the start to the end of the data."""
    for head in (HEAD_STANDARD, HEAD_EXTENDED):
        for size in (0, 8, 16, 20, 64):
            plain = arbitration_bits(head) + data_bits(size)
            stuffed = stuffed_arbitration_bits(head) + stuffed_data_bits(size, head)
            assert stuffed - plain == (head + 5 + 8 * size - 1) // 4


def test_can_fd_at_both_rates() -> None:
    """64 bytes at 0.5 and 2 Mbit/s without stuff bits: 30 bits at 2 us, 549 bits at 0.5 us, 334.5 us (by hand)."""
    time_s = frame_time_s(arbitration_bits(HEAD_STANDARD), 500e3, data_bits(64), 2e6)
    assert time_s * 1e6 == pytest.approx(334.5, abs=1e-9)


def test_can_fd_payloads() -> None:
    """ISO 11898-1, values from memory: 0 to 8, 12, 16, 20, 24, 32, 48, 64; what lies between takes the next size."""
    sizes = [*range(9), 12, 16, 20, 24, 32, 48, 64]
    assert [payload_bytes(size) for size in range(65)] == [
        next(size for size in sizes if size >= wanted) for wanted in range(65)
    ]
    assert payload_bytes(9) == 12


def test_ethernet_limits() -> None:
    """IEEE 802.3cg-2019, seen second-hand: a multidrop segment carries 8 nodes over 25 m, and may carry more."""
    limits = Limits()
    assert (limits.multidrop_nodes, limits.multidrop_length_m) == (8, 25.0)


def test_ring_limit() -> None:
    """An optical ring has at most 64 devices: a public article, seen second-hand."""
    assert Limits().ring_nodes == 64


@pytest.mark.parametrize(("data_bytes", "time_ms"), [(133, 4.256), (16, 0.512)])
def test_air_time(data_bytes: int, time_ms: float) -> None:
    """Public training slides of IEEE 802.15.4, slide 16: the longest frame and the shortest at 250 kbit/s."""
    assert air_time_s(data_bytes, 250e3) * 1e3 == pytest.approx(time_ms, rel=1e-12)


@pytest.mark.parametrize(("distance_m", "frequency_hz"), [(10.0, 868e6), (15.0, 2.44e9), (100.0, 434e6)])
def test_free_space(distance_m: float, frequency_hz: float) -> None:
    """Friis 1946 in metres and megahertz, as handbooks print it: 20 log d + 20 log f - 27.55 dB."""
    printed = 20 * log10(distance_m) + 20 * log10(frequency_hz / 1e6) - 27.55
    assert path_loss_db(distance_m, frequency_hz) == pytest.approx(printed, abs=0.005)


def test_radio_budget() -> None:
    """By hand (common practice, no source): 10 dBm, no gain, 30 m at 868 MHz 60.76 dB, fading 20 dB, metal 15 dB."""
    received = received_dbm(10.0, 0.0, 0.0, path_loss_db(30.0, 868e6), 20.0, 15.0)
    assert received == pytest.approx(-85.76, abs=0.01)
    assert margin_db(received, -108.0) == pytest.approx(22.24, abs=0.01)


def test_optical_budget() -> None:
    """By hand (common practice, no source): -8 dBm, 10 m of 0.3 dB, two bends of 1 dB, four connectors of 2 dB."""
    received = received_light_dbm(-8.0, 10.0, 0.3, 2, 1.0, 4, 2.0)
    assert received == pytest.approx(-21.0)
    assert margin_db(received, -23.0) == pytest.approx(2.0)


def unknown_of(value: Value) -> frozenset[str]:
    """Names of what a bound lacks."""
    assert isinstance(value, Range)
    return value.unknown


def test_unknown_jitter_leaves_a_lower_bound() -> None:
    """A message whose jitter nobody gives has a response of at least its frame, and those behind it are bounds too."""
    network = can_bus(FIVE, 500e3)
    first = network.messages["B"]
    changed = Network(
        kind="CAN",
        rate_bit_per_s=500e3,
        messages={
            **network.messages,
            "B": Message(sender="B", identifier=first.identifier, data_bytes=8, period_s=first.period_s),
        },
    )
    responses = {own.id: own.response_s for own in computed(changed).messages}
    assert responses["A"] == pytest.approx(420e-6, abs=1e-9)
    assert "B" in unknown_of(responses["C"])
    assert unknown_of(responses["B"])
