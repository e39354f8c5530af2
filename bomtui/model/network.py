"""A network: a bus, ring or link with its nodes and what is sent on it."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field

NETWORK_KINDS = ("LIN", "CAN", "CAN FD", "10BASE-T1S", "100BASE-T1", "optical ring", "radio")
CAN_KINDS = ("CAN", "CAN FD")
TIMED_KINDS = ("LIN", *CAN_KINDS)
"""Kinds of which formulas tell when a message arrives."""
LOADED_KINDS = (*TIMED_KINDS, "radio")
"""Kinds of which formulas tell how long a frame takes."""
DIRECTIONS = ("both", "sends", "receives")


class Node(Base, frozen=True):
    """What hangs on a network at one point. The nodes of a ring follow each other in natural order of their ids."""

    at: Annotated[str, Field("transceiver `MODULE.REF`, or the load that carries its own")]
    commander: Annotated[bool, Field("commands the schedule of a LIN network")] = False
    terminated: Annotated[bool | None, Field("whether it holds an end resistor of the line")] = None
    stub_m: Annotated[float | None, Field("branch between the line and it", "length")] = None
    capacitance_f: Annotated[
        float | None, Field("capacitance that it puts on a LIN line; absent: as settings have it", "capacitance")
    ] = None
    fibre_m: Annotated[float | None, Field("fibre from it to the next node of the ring", "length")] = None
    fibre_bends: Annotated[int | None, Field("tight bends of that fibre")] = None
    fibre_connectors: Annotated[int | None, Field("connectors of that fibre, both ends included")] = None
    transmit_power_dbm: Annotated[
        float | None, Field("lowest transmit power; absent: as its transceiver says", "power_level")
    ] = None
    sensitivity_dbm: Annotated[
        float | None, Field("receiver sensitivity; absent: as its transceiver says", "power_level")
    ] = None
    antenna_gain_db: Annotated[float | None, Field("gain of its antenna over an isotropic one", "attenuation")] = None
    direction: Annotated[str, Field("whether it sends, receives or does both", choices=DIRECTIONS)] = "both"
    note: Annotated[str, Field("free text", informational=True)] = ""


class Message(Base, frozen=True):
    """A frame that is sent again and again."""

    sender: Annotated[str, Field("node that sends it", refers_to="node", informational=True)]
    identifier: Annotated[int | None, Field("identifier; on CAN the lowest goes first")] = None
    extended: Annotated[bool, Field("has an identifier of 29 bits instead of 11")] = False
    data_bytes: Annotated[int | None, Field("data bytes; of a radio: all bytes on the air")] = None
    period_s: Annotated[float | None, Field("time from one to the next", "time")] = None
    deadline_s: Annotated[float | None, Field("time within which it must have arrived; absent: its period", "time")] = (
        None
    )
    jitter_s: Annotated[float | None, Field("by how much its sender may be late", "time")] = None
    per_cycle: Annotated[int, Field("how many slots of a LIN schedule carry it, evenly spread")] = 1
    note: Annotated[str, Field("free text", informational=True)] = ""


class Network(Base, frozen=True):
    """One bus segment, ring or link."""

    kind: Annotated[str, Field("what it is", choices=NETWORK_KINDS)]
    name: Annotated[str, Field("what people call it", informational=True)] = ""
    rate_bit_per_s: Annotated[float | None, Field("bit rate; of CAN FD: that of the arbitration", "bit_rate")] = None
    data_rate_bit_per_s: Annotated[
        float | None,
        Field("bit rate of the data of CAN FD; the same as the other where it does not switch", "bit_rate"),
    ] = None
    length_m: Annotated[float | None, Field("cable of the line; of LIN with all its branches", "length")] = None
    inline_connectors: Annotated[int | None, Field("connectors between two nodes of a point-to-point line")] = None
    fibre_loss_db_per_m: Annotated[float | None, Field("loss of its fibre", "attenuation_per_length")] = None
    bend_loss_db: Annotated[float | None, Field("loss of one tight bend of its fibre", "attenuation")] = None
    connector_loss_db: Annotated[float | None, Field("loss of one connector of its fibre", "attenuation")] = None
    frequency_hz: Annotated[float | None, Field("carrier of a radio link", "frequency")] = None
    distance_m: Annotated[float | None, Field("longest way of a radio link", "length")] = None
    fade_db: Annotated[float | None, Field("loss by fading that a radio link must stand", "attenuation")] = None
    metal_loss_db: Annotated[
        float | None, Field("loss by metal around a radio link; 0 dB where there is none", "attenuation")
    ] = None
    nodes: Annotated[dict[str, Node], Field("what hangs on it")] = {}
    messages: Annotated[dict[str, Message], Field("what is sent on it; without any its load is unknown")] = {}
    note: Annotated[str, Field("free text", informational=True)] = ""
