"""Everything computed for one network."""

from collections.abc import Mapping
from typing import Final

from bomtui.engine.calc import Gate
from bomtui.engine.networks import can, can_fd, lin, optical, radio, timing
from bomtui.engine.networks.response import Timed, worst_response_s
from bomtui.engine.networks.sites import Site
from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.limits import Limits
from bomtui.model.network import CAN_KINDS, Message, Network
from bomtui.model.rollup import Figure, LinkResult, MessageResult, NetworkResult

RING_KIND = "optical ring"
RADIO_KIND = "radio"
LIN_KIND = "LIN"
STANDARD_BITS: Final = 11
"""Bits of a short identifier of CAN. Source: ISO 11898-1."""
EXTENDED_BITS: Final = 29
"""Bits of a long identifier of CAN. Source: ISO 11898-1."""
DATA_BYTES: Mapping[str, tuple[int, int]] = {LIN_KIND: (1, 8), "CAN": (0, 8), "CAN FD": (0, 64)}
"""Fewest and most data bytes of a frame. Source: LIN 2.x, ISO 11898-1."""
UNKNOWN = Figure(typ=None, max=None)


def network_result(
    calc: Gate, network_id: str, network: Network, sites: tuple[Site, ...], limits: Limits
) -> NetworkResult:
    """Compute one network.

    Args:
        calc: Gate.
        network_id: Its id.
        network: The network.
        sites: Its nodes in natural order.
        limits: For capacitances that are not given.
    """
    cycle = _cycle_s(calc, network)
    frames = {key: _frame_s(calc, network, network.messages[key]) for key in sorted(network.messages, key=natural_key)}
    messages = tuple(_message(calc, network, key, frames, cycle) for key in frames)
    links = _links(calc, network, sites)
    return NetworkResult(
        id=network_id,
        kind=network.kind,
        nodes=len(network.nodes),
        length_m=_length_m(calc, network, sites),
        capacitance_f=_capacitance_f(calc, network, sites, limits) if network.kind == LIN_KIND else None,
        load_ratio=_load(calc, messages),
        cycle_s=cycle,
        messages=messages,
        links=links,
    )


def priority_of(message: Message) -> tuple[int, int] | None:
    """Return a sort key by which the message comes first that wins the bus; None where its identifier is unknown.

    Source: ISO 11898-1: identifiers are compared bit by bit; of equal first parts the short one wins.
    """
    if message.identifier is None:
        return None
    if message.extended:
        return message.identifier, 1
    return message.identifier << (EXTENDED_BITS - STANDARD_BITS), 0


def _frame_s(calc: Gate, network: Network, message: Message) -> Figure:
    """Return the time of a frame: without any stuff bit or lost time, and the longest it can be."""
    size, rate = _size(network, message), _above_zero(network.rate_bit_per_s)
    if network.kind == LIN_KIND:
        bits = calc(lin.frame_bits, data_bytes=size), calc(lin.slot_bits, data_bytes=size)
        return Figure(*(calc(timing.bits_time_s, bits=own, rate_bit_per_s=rate) for own in bits))
    if network.kind == "CAN":
        stuffed = calc.given(
            can.STUFFED_EXTENDED if message.extended else can.STUFFED_STANDARD,
            f"stuffed bits beside the data, identifier of {EXTENDED_BITS if message.extended else STANDARD_BITS} bits",
        )
        bits = (
            calc(can.plain_bits, data_bytes=size, stuffed_bits=stuffed),
            calc(can.stuffed_frame_bits, data_bytes=size, stuffed_bits=stuffed),
        )
        return Figure(*(calc(timing.bits_time_s, bits=own, rate_bit_per_s=rate) for own in bits))
    if network.kind == "CAN FD":
        return _fd_frame_s(calc, network, message)
    if network.kind == RADIO_KIND:
        air = calc(radio.air_time_s, data_bytes=size, rate_bit_per_s=rate)
        return Figure(typ=air, max=air)
    return UNKNOWN


def _above_zero(value: Value) -> Value:
    """Return a value; None where it is unknown, or what no rate, period or distance can be."""
    return value if isinstance(value, float) and value > 0 else None


def _size(network: Network, message: Message) -> int | None:
    """Return the data bytes of a message; None where unknown, or where no frame of the network holds so many."""
    size = message.data_bytes
    if size is None or network.kind not in DATA_BYTES:
        return size
    fewest, most = DATA_BYTES[network.kind]
    return size if fewest <= size <= most else None


def _slots(message: Message) -> int | None:
    """Return how many slots carry a message; None where that is no number of slots."""
    return message.per_cycle if message.per_cycle >= 1 else None


def _fd_frame_s(calc: Gate, network: Network, message: Message) -> Figure:
    head = calc.given(
        can_fd.HEAD_EXTENDED if message.extended else can_fd.HEAD_STANDARD,
        f"bits up to the switch of the rate, identifier of {EXTENDED_BITS if message.extended else STANDARD_BITS} bits",
    )
    size = calc(can_fd.payload_bytes, data_bytes=_size(network, message))
    slow, fast = _above_zero(network.rate_bit_per_s), _above_zero(network.data_rate_bit_per_s)
    return Figure(
        typ=calc(
            can_fd.frame_time_s,
            arbitration_bits=calc(can_fd.arbitration_bits, head_bits=head),
            rate_bit_per_s=slow,
            data_bits=calc(can_fd.data_bits, data_bytes=size),
            data_rate_bit_per_s=fast,
        ),
        max=calc(
            can_fd.frame_time_s,
            arbitration_bits=calc(can_fd.stuffed_arbitration_bits, head_bits=head),
            rate_bit_per_s=slow,
            data_bits=calc(can_fd.stuffed_data_bits, data_bytes=size, head_bits=head),
            data_rate_bit_per_s=fast,
        ),
    )


def _message(calc: Gate, network: Network, key: str, frames: dict[str, Figure], cycle: Value) -> MessageResult:
    message, frame = network.messages[key], frames[key]
    interval: Value = None
    response: Value = None
    if network.kind == LIN_KIND:
        interval = calc(lin.interval_s, cycle_s=cycle, per_cycle=_slots(message))
        response = calc(lin.response_s, interval_s=interval, slot_s=frame.max)
    elif network.kind in CAN_KINDS:
        bit = calc.given(1, "one bit")
        response = worst_response_s(
            calc,
            _timed(key, message, frame),
            [_timed(other, network.messages[other], frames[other]) for other in frames if other != key],
            calc(timing.bits_time_s, bits=bit, rate_bit_per_s=_above_zero(network.rate_bit_per_s)),
        )
    period = _above_zero(message.period_s)
    load = (calc(timing.load_ratio, frame_s=own, period_s=period) for own in (frame.typ, frame.max))
    return MessageResult(id=key, frame_s=frame, interval_s=interval, response_s=response, load_ratio=Figure(*load))


def _timed(key: str, message: Message, frame: Figure) -> Timed:
    return Timed(
        id=key,
        priority=priority_of(message),
        frame_s=frame.max,
        period_s=message.period_s,
        jitter_s=message.jitter_s,
    )


def _cycle_s(calc: Gate, network: Network) -> Value:
    if network.kind != LIN_KIND or not network.messages:
        return None
    keys = sorted(network.messages, key=natural_key)
    slots = [
        calc(
            lin.slots_time_s,
            slot_s=_frame_s(calc, network, network.messages[key]).max,
            per_cycle=_slots(network.messages[key]),
        )
        for key in keys
    ]
    return calc.total(keys, slots)


def _load(calc: Gate, messages: tuple[MessageResult, ...]) -> Figure:
    if not messages:
        return UNKNOWN
    keys = [own.id for own in messages]
    return Figure(
        typ=calc.total(keys, [own.load_ratio.typ for own in messages]),
        max=calc.total(keys, [own.load_ratio.max for own in messages]),
    )


def _length_m(calc: Gate, network: Network, sites: tuple[Site, ...]) -> Value:
    if network.kind == RING_KIND:
        return calc.total([own.id for own in sites], [own.node.fibre_m for own in sites]) if sites else None
    return network.distance_m if network.kind == RADIO_KIND else network.length_m


def _capacitance_f(calc: Gate, network: Network, sites: tuple[Site, ...], limits: Limits) -> Figure:
    keys = ["cable", *[own.id for own in sites]]
    nodes: list[Value] = [
        limits.lin_node_f if own.node.capacitance_f is None else own.node.capacitance_f for own in sites
    ]
    cable = (
        calc(lin.cable_capacitance_f, length_m=network.length_m, cable_f_per_m=cable_f_per_m)
        for cable_f_per_m in (limits.lin_cable_typ_f_per_m, limits.lin_cable_max_f_per_m)
    )
    return Figure(*(calc.total(keys, [own, *nodes]) for own in cable))


def _links(calc: Gate, network: Network, sites: tuple[Site, ...]) -> tuple[LinkResult, ...]:
    if network.kind == RING_KIND:
        return tuple(
            _light(calc, network, own, sites[(row + 1) % len(sites)]) for row, own in enumerate(sites) if len(sites) > 1
        )
    if network.kind == RADIO_KIND:
        return tuple(
            _wave(calc, network, own, other)
            for other in sites
            for own in sites
            if own is not other and own.node.direction != "receives" and other.node.direction != "sends"
        )
    return ()


def _light(calc: Gate, network: Network, sender: Site, receiver: Site) -> LinkResult:
    node = sender.node
    received = calc(
        optical.received_light_dbm,
        power_dbm=_power_dbm(sender),
        fibre_m=node.fibre_m,
        fibre_loss_db_per_m=network.fibre_loss_db_per_m,
        bends=node.fibre_bends,
        bend_loss_db=network.bend_loss_db,
        connectors=node.fibre_connectors,
        connector_loss_db=network.connector_loss_db,
    )
    return _link(calc, sender, receiver, received)


def _wave(calc: Gate, network: Network, sender: Site, receiver: Site) -> LinkResult:
    received = calc(
        radio.received_dbm,
        power_dbm=_power_dbm(sender),
        sender_gain_db=sender.node.antenna_gain_db,
        receiver_gain_db=receiver.node.antenna_gain_db,
        path_loss_db=calc(
            radio.path_loss_db,
            distance_m=_above_zero(network.distance_m),
            frequency_hz=_above_zero(network.frequency_hz),
        ),
        fade_db=network.fade_db,
        metal_loss_db=network.metal_loss_db,
    )
    return _link(calc, sender, receiver, received)


def _link(calc: Gate, sender: Site, receiver: Site, received: Value) -> LinkResult:
    margin = calc(optical.margin_db, received_dbm=received, sensitivity_dbm=_sensitivity_dbm(receiver))
    return LinkResult(sender=sender.id, receiver=receiver.id, received_dbm=received, margin_db=margin)


def _power_dbm(site: Site) -> float | None:
    if site.node.transmit_power_dbm is not None or site.part is None:
        return site.node.transmit_power_dbm
    return site.part.launch_power_dbm


def _sensitivity_dbm(site: Site) -> float | None:
    if site.node.sensitivity_dbm is not None or site.part is None:
        return site.node.sensitivity_dbm
    return site.part.sensitivity_dbm
