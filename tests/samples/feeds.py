"""Feeds of the samples: fuses, wires and ground points, all invented."""

from collections.abc import Mapping

import msgspec

from bomtui.model.feed import Circuit, Feed
from bomtui.model.variant import Device, Module, Placement, Variant
from tests.samples.tables import Row, known, number, table

INSULATION_DEGC = {"bench": None}
"""Temperature that the insulation of the wires of a variant stands; the bench leaves it to the settings."""
ENGINE_BAY_DEGC = 125.0
"""Wires that run into an engine bay: class C of ISO 6722-1 (value from memory)."""
WIRES_TOGETHER = 2
"""A feed and its ground wire lie together."""
MM2_PER_M2 = 10**6
INVENTED = "invented: fuse, wire and ground point"


def with_feeds(key: str, variant: Variant) -> Variant:
    """Return a variant with its feeds and the wires of its loads.

    Args:
        key: Vehicle and variant, as the tables are named.
        variant: The variant without them.
    """
    rows = table("invented_feeds", variant=key)
    feeds = {row["feed"]: _feed(key, row) for row in rows}
    of_module: dict[str, tuple[str, ...]] = {}
    for row in rows:
        for module_id in row["modules"].split():
            of_module[module_id] = (*of_module.get(module_id, ()), row["feed"])
    if of_module.keys() != variant.modules.keys():
        raise ValueError(f"{key} has modules without a feed, or feeds of no module")
    feed_of = {
        (row["module"], ref): row["feed"]
        for row in table("invented_feed_devices", variant=key)
        for ref in row["devices"].split()
    }
    modules = {
        module_id: _with_feeds(module_id, module, of_module[module_id], feed_of)
        for module_id, module in variant.modules.items()
    }
    return msgspec.structs.replace(
        variant, feeds=feeds, modules=modules, placements=_with_circuits(key, variant.placements)
    )


def _feed(key: str, row: Row) -> Feed:
    rated_a = number(row["fuse_A"])
    melting = [] if rated_a is None else table("invented_fuses", type=row["type"], fuse_A=row["fuse_A"])
    return Feed(
        terminal=row["terminal"],
        fuse_type=row["type"],
        fuse_current_a=rated_a,
        fuse_melting_a2s=known(melting[0]["melting_A2s"]) if melting else None,
        fuse_zone=row["fuse_zone"],
        switch=row["switch"],
        wire_area_m2=known(row["area_mm2"]) / MM2_PER_M2,
        wire_max_degc=INSULATION_DEGC.get(key, ENGINE_BAY_DEGC),
        bundle=WIRES_TOGETHER,
        ground=row["ground"],
        note=INVENTED,
    )


def _with_feeds(
    module_id: str, module: Module, feeds: tuple[str, ...], feed_of: Mapping[tuple[str, str], str]
) -> Module:
    devices: dict[str, Device] = {
        ref: msgspec.structs.replace(device, feed=feed_of.get((module_id, ref), ""))
        for ref, device in module.devices.items()
    }
    return msgspec.structs.replace(module, feeds=feeds, devices=devices)


def _with_circuits(key: str, placements: Mapping[str, Placement]) -> dict[str, Placement]:
    wired = {row["load"]: row for row in table("invented_circuits", variant=key)}
    return {
        load_id: msgspec.structs.replace(
            placement,
            circuit=Circuit(
                wire_area_m2=known(wired[load_id]["area_mm2"]) / MM2_PER_M2,
                wire_length_m=number(wired[load_id]["length_m"]),
                bundle=int(wired[load_id]["bundle"]) if wired[load_id]["bundle"] else None,
            ),
        )
        if load_id in wired
        else placement
        for load_id, placement in placements.items()
    }
