"""A block diagram: blocks and what joins them, as data that people, programs and drawings read alike."""

from typing import Literal

from bomtui.model.base import Base
from bomtui.model.rollup import Figure

BlockKind = Literal["battery", "feed", "ground", "module", "chip", "rail", "load", "network"]
LinkKind = Literal["supply", "drive", "read", "command", "return", "network"]


class Block(Base, frozen=True):
    """One block.

    Attributes:
        id: Unique in its diagram: kind and id, such as `chip ZREA.U6`.
        kind: What it is.
        name: Id or address, such as `ZREA.U6`.
        title: What people call it; a chip by its part.
        current_a: Current of a battery, feed, module or load in the mode of the diagram, of a rail what chips draw from
            it; None where no figure belongs to the block.
        note: What else it says, such as `zone Z4` or `2 channels free`.
    """

    id: str
    kind: BlockKind
    name: str
    title: str
    current_a: Figure | None = None
    note: str = ""


class Link(Base, frozen=True):
    """What joins two blocks, by their ids.

    Attributes:
        source: Where current, command or signal comes from.
        target: Where it goes.
        kind: What it is.
    """

    source: str
    target: str
    kind: LinkKind


class Diagram(Base, frozen=True):
    """A block diagram of a module, or of a vehicle with its modules.

    Attributes:
        variant: Id of the variant.
        module: Id of the module; empty for the vehicle.
        mode: Mode whose currents it shows; empty where there is none.
        blocks: The blocks by id, in the order in which they are drawn.
        links: The links.
        open: What the proposal does not say and the diagram therefore does not show.
    """

    variant: str
    module: str
    mode: str
    blocks: dict[str, Block]
    links: tuple[Link, ...]
    open: tuple[str, ...] = ()

    def targets(self, source: str, kind: LinkKind) -> tuple[Block, ...]:
        """Return the blocks to which links of one kind lead from a block."""
        return tuple(self.blocks[link.target] for link in self.links if (link.source, link.kind) == (source, kind))

    def sources(self, target: str, kind: LinkKind) -> tuple[Block, ...]:
        """Return the blocks from which links of one kind lead to a block."""
        return tuple(self.blocks[link.source] for link in self.links if (link.target, link.kind) == (target, kind))


def block_id(kind: BlockKind, name: str) -> str:
    """Return the id of a block."""
    return f"{kind} {name}".rstrip()


BATTERY_BLOCK = block_id("battery", "")
