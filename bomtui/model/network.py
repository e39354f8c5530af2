"""A network: a bus, ring or link with its nodes."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field

NETWORK_KINDS = ("LIN", "CAN", "CAN FD", "10BASE-T1S", "100BASE-T1", "optical ring", "radio")


class Node(Base, frozen=True):
    """What hangs on a network at one point."""

    at: Annotated[str, Field("transceiver `MODULE.REF`, or the load that carries its own")]
    note: Annotated[str, Field("free text")] = ""


class Network(Base, frozen=True):
    """One bus segment, ring or link."""

    kind: Annotated[str, Field("what it is", choices=NETWORK_KINDS)]
    nodes: Annotated[dict[str, Node], Field("what hangs on it")] = {}
    note: Annotated[str, Field("free text")] = ""
