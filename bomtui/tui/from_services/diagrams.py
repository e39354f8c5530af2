"""Block diagrams as the screens show them."""

from bomtui.model.plain_text import clean
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Rollup
from bomtui.services.diagram import diagram
from bomtui.services.diagram_text import ASCII_STROKES, FULL_STROKES, currents_text, diagram_lines
from bomtui.tui.view import DiagramView

NO_VARIANT = "The proposal has no variant."


def diagram_view(snapshot: Snapshot, rollup: Rollup | None, module: str, width: int, *, is_plain: bool) -> DiagramView:
    """Return a block diagram.

    Args:
        snapshot: Proposal and frozen parts.
        rollup: What was computed for the variant; None where there is none.
        module: Id of the module; empty, or of none, for the vehicle.
        width: Columns.
        is_plain: Whether it is drawn with plain characters.
    """
    if rollup is None:
        return DiagramView("Block diagram", ((NO_VARIANT, False),), "")
    own = module if module in rollup.modules else ""
    drawn = diagram(snapshot, rollup, own)
    lines = diagram_lines(drawn, width, ASCII_STROKES if is_plain else FULL_STROKES)
    title = f"Block diagram of {own}" if own else "Block diagram of the vehicle"
    return DiagramView(title, tuple((clean(line.text), line.is_head) for line in lines), currents_text(drawn))
