"""Placements: a row for each load with its channels, or a channel list, a row for each channel with its load."""

import re
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

from bomtui.model.base import Base
from bomtui.model.fields import Field
from bomtui.model.variant import JOINS
from bomtui.storage.tabular.answers import Answers
from bomtui.storage.tabular.listing import Listing
from bomtui.storage.tabular.plain_rows import (
    PlacementRow,
    PlainRow,
    PlainRows,
    plain_rows,
    read_listing,
    read_plain_rows,
)

_BETWEEN = re.compile(r"[\s,;+/&|]+")

FEED = "feed "
"""How the channel list names a feed that a channel switches: that is no load to place."""
FORM = ("module", "channel", "load")
"""Columns by which a channel list is known."""


class ChannelRow(Base, frozen=True):
    """One channel of a device, or a load that needs none."""

    module: Annotated[str, Field("id of the module", refers_to="module")]
    ref: Annotated[str, Field("device; empty for what needs no channel")] = ""
    channel: Annotated[int | None, Field("number of the channel")] = None
    load: Annotated[str, Field("id of the load; empty for a spare channel", refers_to="load")] = ""
    joined: Annotated[str | None, Field("how channels or loads are joined", choices=JOINS)] = None
    # What the channel list of the program says beside that: known as headers, and nothing is taken from it.
    part: Annotated[str, Field("part of the device", informational=True)] = ""
    state: Annotated[str, Field("used, spare or unknown", informational=True)] = ""
    name: Annotated[str, Field("name of the load", informational=True)] = ""
    drive: Annotated[str, Field("how the load is connected", informational=True)] = ""
    pin_function: Annotated[str, Field("what a controller pin must do", informational=True)] = ""
    pins: Annotated[int | None, Field("how many such pins", informational=True)] = None
    commanded_by: Annotated[str, Field("controller of the device", informational=True)] = ""
    wires: Annotated[int | None, Field("wires to the load", informational=True)] = None
    wire_area_m2: Annotated[float | None, Field("cross-section of each", "cross_section", informational=True)] = None


WORDS = {
    "module": "box|modul",
    "ref": "device|driver|designator|baustein|treiber",
    "channel": "ch|output|kanal|ausgang",
    "load": "id|last|verbraucher",
}


def read_placements(path: Path, answers: Answers) -> PlainRows:
    """Read placements; nothing is raised for any content of the file.

    Args:
        path: The list.
        answers: What was said of it.
    """
    rows, listing = read_listing(path, ChannelRow, WORDS, answers, others=True)
    if not all(map(listing.has, FORM)):
        found = read_plain_rows(path, PlacementRow, answers)
        return replace(found, rows=tuple(map(_apart, found.rows)))
    return plain_rows(listing, _by_load(rows, listing))


def _apart(row: PlainRow) -> PlainRow:
    """Tell channels in one cell apart, whatever stands between them: an address holds nothing of it."""
    channels = [own for text in row.values["on"] for own in _BETWEEN.split(text) if own]
    return replace(row, values={**row.values, "on": tuple(channels)})


def _by_load(rows: list[PlainRow], listing: Listing) -> list[PlainRow]:
    """Put the channels of each load together; what carries no load is left out, and said."""
    found: dict[str, dict[str, Any]] = {}
    lines: dict[str, int] = {}
    left = {"of a spare channel": 0, "that switch a feed": 0, "with neither load nor channel": 0}
    for row in rows:
        load = row.values.get("load", "")
        pieces = (row.values["module"], row.values.get("ref"), row.values.get("channel"))
        if not load or load.startswith(FEED):
            idle = "of a spare channel" if row.values.get("channel") else "with neither load nor channel"
            left["that switch a feed" if load else idle] += 1
            continue
        values = found.setdefault(load, {"load": load, "on": ()})
        lines.setdefault(load, row.line)
        values["on"] = (*values["on"], ".".join(str(piece) for piece in pieces if piece))
        if row.values.get("joined"):
            values["joined"] = row.values["joined"]
    for words, count in left.items():
        if count:
            listing.notices.append(f"rows {words} place nothing: {count} left out")
    return [PlainRow(lines[load], values) for load, values in found.items()]
