"""What may be worth a look after a step: guesses about the modules that it touched, judged by nothing."""

from bomtui.packing.hints import Hint, hints
from bomtui.services.rollup import Computed

__all__ = ["Hint", "hints_after"]


def hints_after(before: Computed | None, after: Computed) -> tuple[Hint, ...]:
    """Return guesses about the modules that a step has touched, the likeliest first.

    Args:
        before: The variant before the step; None where there was none: nothing was touched then.
        after: The variant after it.
    """
    if before is None or before.variant != after.variant:
        return ()
    former = before.rollup.modules
    touched = [module for module, own in after.rollup.modules.items() if former.get(module) is not own]
    return hints(after.opened.snapshot, after.variant, after.rollup.modules, after.memo.serving, touched)
