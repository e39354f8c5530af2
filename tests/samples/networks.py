"""Networks of a sample variant, from the invented tables."""

from collections.abc import Mapping
from decimal import Decimal

from bomtui.model.ids import natural_key
from bomtui.model.network import Message, Network, Node
from bomtui.model.variant import Module
from tests.samples.tables import MILLI, Row, number, table

KILO = Decimal(1000)
MEGA = Decimal(1000000)


def networks_of(variant: str, modules: Mapping[str, Module]) -> dict[str, Network]:
    """Build the networks of a variant.

    Args:
        variant: Vehicle and variant, as the tables are named.
        modules: Its modules, whose devices the nodes are at.
    """
    networks = {}
    for row in table("invented_networks", variant=variant):
        where = {"variant": variant, "network": row["network"]}
        nodes = {own["node"]: _node(own, modules) for own in table("invented_nodes", **where)}
        messages = {own["message"]: _message(own) for own in table("invented_messages", **where)}
        networks[row["network"]] = _network(row, nodes, messages)
    return networks


def _network(row: Row, nodes: dict[str, Node], messages: dict[str, Message]) -> Network:
    return Network(
        kind=row["kind"],
        name=row["name"],
        rate_bit_per_s=number(row["rate_kbit_s"], KILO),
        data_rate_bit_per_s=number(row["data_rate_kbit_s"], KILO),
        length_m=number(row["length_m"]),
        inline_connectors=_count(row["inline_connectors"]),
        fibre_loss_db_per_m=number(row["fibre_loss_dB_m"]),
        bend_loss_db=number(row["bend_loss_dB"]),
        connector_loss_db=number(row["connector_loss_dB"]),
        frequency_hz=number(row["frequency_MHz"], MEGA),
        distance_m=number(row["distance_m"]),
        fade_db=number(row["fade_dB"]),
        metal_loss_db=number(row["metal_loss_dB"]),
        nodes=nodes,
        messages=messages,
        note="; ".join(filter(None, ("invented", row["note"]))),
    )


def _node(row: Row, modules: Mapping[str, Module]) -> Node:
    return Node(
        at=_at(row["at"], modules),
        commander=row["commander"] == "yes",
        terminated={"yes": True, "no": False}.get(row["terminated"]),
        stub_m=number(row["stub_m"]),
        fibre_m=number(row["fibre_m"]),
        fibre_bends=_count(row["fibre_bends"]),
        fibre_connectors=_count(row["fibre_connectors"]),
        transmit_power_dbm=number(row["transmit_dBm"]),
        sensitivity_dbm=number(row["sensitivity_dBm"]),
        antenna_gain_db=number(row["gain_dB"]),
        direction=row["direction"] or "both",
        note=row["note"],
    )


def _message(row: Row) -> Message:
    return Message(
        sender=row["sender"],
        identifier=_count(row["identifier"]),
        data_bytes=_count(row["bytes"]),
        period_s=number(row["period_ms"], MILLI),
        deadline_s=number(row["deadline_ms"], MILLI),
        jitter_s=number(row["jitter_ms"], MILLI),
        per_cycle=int(row["per_cycle"] or 1),
        note=row["note"],
    )


def _count(cell: str) -> int | None:
    return int(cell) if cell else None


def _at(cell: str, modules: Mapping[str, Module]) -> str:
    """Return where a node is: `MODULE:part` is the first such part of the module, anything else a load."""
    module_id, colon, part = cell.partition(":")
    if not colon:
        return cell
    devices = modules[module_id].devices
    refs = [ref for ref in sorted(devices, key=natural_key) if devices[ref].part == part]
    return f"{module_id}.{refs[0]}"
