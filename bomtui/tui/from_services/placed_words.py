"""How a load is placed, in words: what its channels are, how they are joined, whether somebody keeps it there."""

from collections.abc import Iterator

from bomtui.model.ids import natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.variant import Placement, Variant
from bomtui.services.power_stage import PRE_DRIVEN
from bomtui.tui.view import Figure

PINNED = "pinned"
KEPT = "by hand: automatic placement leaves it where it is"


def placed_marks(placement: Placement | None) -> tuple[str, ...]:
    """Return what the line of a load says of its placement: that it is joined, and that it is pinned."""
    if placement is None:
        return ()
    return tuple(filter(None, (placement.joined or "", PINNED if placement.pinned else "")))


def placed_figures(variant: Variant, load_id: str, load: Load) -> Iterator[Figure]:
    """Yield where a placed load is, with whom it is joined, its power stage, and whether it is pinned."""
    placement = variant.placements[load_id]
    yield Figure("placed on", ", ".join(placement.on))
    beside = loads_beside(variant, load_id)
    if placement.joined == "parallel" and len(placement.on) > 1:
        yield Figure("joined", f"in parallel: {' and '.join(placement.on)} carry it together")
    elif placement.joined == "shared" and beside:
        yield Figure("joined", f"shared: {', '.join(beside)} on the same channel")
    elif placement.joined:
        yield Figure("joined", f"{placement.joined}, with nothing beside it", "check", "joined with nothing")
    elif beside:
        yield Figure("joined", f"not joined, though {', '.join(beside)} on the same channel", "check", "not joined")
    if placement.stage:
        yield Figure("power stage", ", ".join(placement.stage))
    elif load.drive == PRE_DRIVEN:
        yield Figure("power stage", "no FETs yet: a adds them behind its channels", "over", "missing")
    if placement.rail:
        yield Figure("fed from", f"rail {placement.rail}")
    if placement.pinned:
        yield Figure(PINNED, KEPT)


def loads_beside(variant: Variant, load_id: str) -> tuple[str, ...]:
    """Return the other loads on a channel of a load, in natural order."""
    channels = {text for text in variant.placements[load_id].on if parse_address(text).channel}
    return tuple(
        key
        for key in sorted(variant.placements, key=natural_key)
        if key != load_id and not channels.isdisjoint(variant.placements[key].on)
    )
