"""Which parts serve which kind of network, on how many ports."""

from bomtui.model.network import CAN_KINDS, Network
from bomtui.model.part import Part

KIND_OF_TRANSCEIVER = {
    "LIN": "transceiver_lin",
    "CAN": "transceiver_can",
    "CAN FD": "transceiver_can",
    "10BASE-T1S": "transceiver_eth",
    "100BASE-T1": "transceiver_eth",
    "optical ring": "transceiver_optical",
    "radio": "transceiver_rf",
}
"""Part kind of a transceiver by kind of network."""

OWN_DRIVES = {"LIN": "LIN", "RF": "radio"}
"""Kind of network that a load with a transceiver of its own asks for, by its drive code."""


def port_sort(kind: str) -> str:
    """Return what a port is called that serves a kind of network: CAN and CAN FD share theirs."""
    return "CAN" if kind in CAN_KINDS else kind


def serves(part: Part, kind: str) -> bool:
    """Tell whether a part is a transceiver for a kind of network, or holds one."""
    if part.kind == "sbc":
        return kind in {"LIN", *CAN_KINDS} and ports_for(part, kind) != 0
    if part.kind == "transceiver_eth":
        return part.bus == kind
    return part.kind == KIND_OF_TRANSCEIVER[kind]


def ports_for(part: Part, kind: str) -> int | None:
    """Return how many ports a part has for a kind of network; None where unknown."""
    if part.kind == "sbc":
        return part.lin_ports if kind == "LIN" else part.can_ports
    return part.ports


def needed_rate_bit_per_s(network: Network) -> float | None:
    """Return the highest bit rate that a transceiver of a network must stand; None where unknown."""
    return network.data_rate_bit_per_s if network.kind == "CAN FD" else network.rate_bit_per_s
