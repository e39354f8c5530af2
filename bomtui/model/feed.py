"""A feed: what brings battery current to modules and takes it back."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field

TERMINALS = ("30", "15")
"""Permanent and switched battery (DIN 72552)."""


class Feed(Base, frozen=True):
    """One fuse or electronic switch with its wire and its ground point; it may supply several modules."""

    terminal: Annotated[str, Field("battery terminal it is taken from", choices=TERMINALS)] = "30"
    fuse_current_a: Annotated[float | None, Field("rated current of its fuse", "current")] = None
    wire_area_m2: Annotated[float | None, Field("conductor cross-section of its wires", "area")] = None
    ground: Annotated[str, Field("ground point to which its current returns")] = ""
    note: Annotated[str, Field("free text")] = ""
