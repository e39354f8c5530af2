"""The network list: every network with its nodes and messages."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Bounded, Count, Heading, Record
from bomtui.export.table import table_of

NAME, TITLE = "network-list", "Network list"


class NetworkRow(Record, frozen=True, kw_only=True):
    """One network."""

    network: str
    kind: str
    name: str
    rate_bit_per_s: Annotated[float | None, Meta(description="bit rate", extra={"unit": "kbit/s"})]
    nodes: Count
    messages: Count
    length_m: Annotated[Bounded, Meta(description="cable, fibre or longest way", extra={"one": True})]
    load_ratio: Annotated[Bounded | None, Meta(description="share of the time in which it is busy")]
    response_s: Annotated[
        Bounded | None, Meta(description="longest time until a message has arrived", extra={"one": True, "unit": "ms"})
    ]
    slowest: Annotated[str, Meta(description="message that takes it")]
    margin_db: Annotated[Bounded | None, Meta(description="least reserve of a link", extra={"one": True})]


class NodeRow(Record, frozen=True, kw_only=True):
    """One node of a network."""

    network: str
    node: str
    at: Annotated[str, Meta(description="transceiver, or load with its own")]
    commander: Annotated[bool, Meta(description="commands the schedule of a LIN network")]
    terminated: Annotated[bool | None, Meta(description="holds an end resistor")]
    stub_m: Annotated[float | None, Meta(description="branch between the line and it")]


class MessageRow(Record, frozen=True, kw_only=True):
    """One message of a network."""

    network: str
    message: str
    sender: str
    identifier: int | None
    data_bytes: int | None
    period_s: Annotated[float | None, Meta(description="from one to the next", extra={"unit": "ms"})]
    frame_s: Annotated[Bounded, Meta(description="time of its frame", extra={"unit": "us"})]
    load_ratio: Annotated[Bounded, Meta(description="share of the time that it takes")]
    response_s: Annotated[
        Bounded | None, Meta(description="longest time until it has arrived", extra={"one": True, "unit": "ms"})
    ]


class NetworkList(Heading, frozen=True, kw_only=True):
    """Networks of one variant."""

    networks: tuple[NetworkRow, ...]
    nodes: tuple[NodeRow, ...]
    messages: tuple[MessageRow, ...]


def artefact(record: NetworkList) -> Artefact:
    """Return the artefact of a network list."""
    notes = () if record.networks else ("The variant names no network.",)
    return Artefact(
        NAME,
        TITLE,
        record,
        record,
        (
            table_of("", "Networks", NetworkRow, record.networks, notes=notes),
            table_of("nodes", "Nodes", NodeRow, record.nodes),
            table_of("messages", "Messages", MessageRow, record.messages),
        ),
    )
