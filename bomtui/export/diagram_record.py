"""A block diagram as one plain record, for drawing it elsewhere."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.records import Basis, Bounded, Heading, Record, bounded, heading
from bomtui.model.diagram import BlockKind, Diagram, LinkKind


class BlockRecord(Record, frozen=True, kw_only=True):
    """One block; its current is the mean in the mode of the diagram, of a rail what chips draw from it."""

    id: str
    kind: BlockKind
    name: Annotated[str, Meta(description="id or address")]
    title: Annotated[str, Meta(description="name; of a chip the catalog key")]
    note: str
    current_a: Annotated[Bounded | None, Meta(description="null where no figure belongs to the block")]


class LinkRecord(Record, frozen=True, kw_only=True):
    """What joins two blocks, by their ids."""

    source: str
    target: str
    kind: LinkKind


class DiagramRecord(Heading, frozen=True, kw_only=True):
    """Block diagram of a module, or of the vehicle."""

    module: Annotated[str, Meta(description="empty for the vehicle")]
    mode: str
    blocks: tuple[BlockRecord, ...]
    links: tuple[LinkRecord, ...]
    not_known: Annotated[tuple[str, ...], Meta(description="what the proposal does not say and is not drawn")]


def diagram_record(basis: Basis, diagram: Diagram) -> DiagramRecord:
    """Return a diagram as a record.

    Args:
        basis: What the artefact is made of.
        diagram: The diagram.
    """
    what = f"Block diagram of {diagram.module}" if diagram.module else "Block diagram"
    return DiagramRecord(
        **heading(basis, what),  # type: ignore[arg-type]
        module=diagram.module,
        mode=diagram.mode,
        blocks=tuple(
            BlockRecord(
                id=block.id,
                kind=block.kind,
                name=block.name,
                title=block.title,
                note=block.note,
                current_a=None if block.current_a is None else bounded(block.current_a),
            )
            for block in diagram.blocks.values()
        ),
        links=tuple(LinkRecord(source=link.source, target=link.target, kind=link.kind) for link in diagram.links),
        not_known=diagram.open,
    )
