"""The networks of a variant as plain records."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.records import Bounded, Count, Record, bounded, single
from bomtui.model.network import LOADED_KINDS, TIMED_KINDS, Network
from bomtui.model.rollup import LinkResult, MessageResult, NetworkResult


class MessageRecord(Record, frozen=True, kw_only=True):
    """One message of a network."""

    id: str
    sender: str
    load_ratio: Annotated[Bounded, Meta(description="share of the time that it takes; max with its longest frame")]
    frame_s: Annotated[Bounded, Meta(description="typ without stuff bits or lost time, max the longest that it can be")]
    interval_s: Annotated[Bounded | None, Meta(description="LIN: from one slot to the next, every slot at its longest")]
    response_s: Annotated[
        Bounded | None, Meta(description="longest time from the event to the end of the frame, of LIN and CAN")
    ]


class LinkRecord(Record, frozen=True, kw_only=True):
    """One way of light or radio."""

    sender: str
    receiver: str
    received_dbm: Bounded
    margin_db: Annotated[Bounded, Meta(description="what arrives beyond the sensitivity of the receiver")]


class NetworkRecord(Record, frozen=True, kw_only=True):
    """One network."""

    id: str
    kind: str
    name: str
    nodes: Count
    length_m: Annotated[Bounded, Meta(description="cable, all fibre of a ring, or longest way of a radio link")]
    capacitance_f: Annotated[Bounded | None, Meta(description="LIN: line with its nodes")]
    load_ratio: Annotated[
        Bounded | None,
        Meta(
            description="share of the time in which it is busy; null where no message is given or no formula tells it"
        ),
    ]
    cycle_s: Annotated[Bounded | None, Meta(description="LIN: one round of its schedule, every slot at its longest")]
    messages: tuple[MessageRecord, ...]
    links: tuple[LinkRecord, ...]


def network_record(result: NetworkResult, network: Network) -> NetworkRecord:
    """Return one network as a record.

    Args:
        result: What was computed for it.
        network: The network.
    """
    is_lin = result.capacitance_f is not None
    return NetworkRecord(
        id=result.id,
        kind=result.kind,
        name=network.name,
        nodes=result.nodes,
        length_m=single(result.length_m),
        capacitance_f=None if result.capacitance_f is None else bounded(result.capacitance_f),
        load_ratio=bounded(result.load_ratio) if result.messages and result.kind in LOADED_KINDS else None,
        cycle_s=single(result.cycle_s) if is_lin and result.messages else None,
        messages=tuple(_message(own, network, is_lin=is_lin) for own in result.messages),
        links=tuple(map(_link, result.links)),
    )


def _message(result: MessageResult, network: Network, *, is_lin: bool) -> MessageRecord:
    return MessageRecord(
        id=result.id,
        sender=network.messages[result.id].sender,
        load_ratio=bounded(result.load_ratio),
        frame_s=bounded(result.frame_s),
        interval_s=single(result.interval_s) if is_lin else None,
        response_s=single(result.response_s) if network.kind in TIMED_KINDS else None,
    )


def _link(result: LinkResult) -> LinkRecord:
    return LinkRecord(
        sender=result.sender,
        receiver=result.receiver,
        received_dbm=single(result.received_dbm),
        margin_db=single(result.margin_db),
    )
