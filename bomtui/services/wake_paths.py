"""What can wake a module while the vehicle is parked, in words."""

from collections.abc import Mapping

from bomtui.engine.networks.wake import wakers
from bomtui.model.part import Part
from bomtui.model.variant import Variant

KEPT_ALIVE = "kept alive"
UNKNOWN = "unknown"
NOTHING = "nothing"


def wake_words(variant: Variant, parts: Mapping[str, Part], module_id: str) -> str:
    """Return what wakes a module: `ZCEN over VEH at U9`, `kept alive`, `nothing`, or that it is unknown.

    Args:
        variant: The variant.
        parts: Frozen parts.
        module_id: One of its modules.
    """
    if variant.modules[module_id].keep_alive:
        return KEPT_ALIVE
    ways = wakers(variant, parts, module_id)
    words = [own.words for own in ways if own.by]
    open_ = [own.ref for own in ways if not own.is_known]
    if open_:
        words.append(f"{UNKNOWN}: {', '.join(open_)}")
    return "; ".join(words) or NOTHING
