"""A feed: what brings battery current to modules and takes it back; and the wire of one load."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field

TERMINALS = ("30", "15")
"""Permanent and switched battery (DIN 72552)."""
FUSE_TYPES = ("C", "E", "F")
"""Blade fuses of ISO 8820-3: medium, high current, miniature."""
CONDUCTORS = ("class 5", "class 5 tinned", "class 2", "AWG")
"""Kinds of copper conductor: flexible plain, flexible tinned and few strands by IEC 60228, or gauges by ASTM B258."""


class Feed(Base, frozen=True):
    """One fuse or electronic switch with its wire and its ground point; it may supply several modules."""

    terminal: Annotated[str, Field("battery terminal it is taken from", choices=TERMINALS)] = "30"
    fuse_type: Annotated[str, Field("type of its blade fuse by ISO 8820-3", choices=FUSE_TYPES)] = "C"
    fuse_current_a: Annotated[float | None, Field("rated current of its fuse", "current")] = None
    fuse_melting_a2s: Annotated[float | None, Field("melting integral of its fuse", "i2t")] = None
    fuse_zone: Annotated[str, Field("zone of its fuse or switch; absent: the battery zone", refers_to="zone")] = ""
    switch: Annotated[str, Field("channel `MODULE.REF.CHANNEL` that stands in for a fuse; absent: a fuse")] = ""
    wire_area_m2: Annotated[float | None, Field("conductor cross-section of its wires", "cross_section")] = None
    wire_length_m: Annotated[
        float | None, Field("wire from its fuse to the farthest of its modules; absent: by the zones", "length")
    ] = None
    return_length_m: Annotated[
        float | None, Field("wire back to its ground point; absent: as long as the wire to it", "length")
    ] = None
    wire_max_degc: Annotated[
        float | None, Field("temperature that the insulation of its wires stands; absent: as set", "temperature")
    ] = None
    bundle: Annotated[int | None, Field("loaded wires that lie together, its own included; absent: as set")] = None
    ways: Annotated[int | None, Field("connector ways of each module that carry it; absent: as set")] = None
    contact: Annotated[
        str, Field("connector of the module that carries it; absent: the one of its signals", refers_to="part")
    ] = ""
    ground: Annotated[str, Field("ground point to which its current returns")] = ""
    note: Annotated[str, Field("free text", informational=True)] = ""


class Circuit(Base, frozen=True):
    """The wire and the contact between a module and one load."""

    wire_area_m2: Annotated[float | None, Field("conductor cross-section of its wires", "cross_section")] = None
    wire_length_m: Annotated[float | None, Field("length of one of its wires; absent: by the zones", "length")] = None
    wire_max_degc: Annotated[
        float | None, Field("temperature that the insulation of its wires stands; absent: as set", "temperature")
    ] = None
    bundle: Annotated[int | None, Field("loaded wires that lie together, its own included; absent: as set")] = None
    contact: Annotated[
        str, Field("connector of the module that carries it; absent: by its current", refers_to="part")
    ] = ""
