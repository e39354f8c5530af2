"""An open proposal as the screens ask for it."""

import threading

from bomtui.services.open import Opened
from bomtui.services.present import counted
from bomtui.services.review import review
from bomtui.services.rollup import compute, variant_ids
from bomtui.tui.from_services.variant_view import VariantView
from bomtui.tui.view import Heading, RollupView, VariantChoice

INVENTED = "invented parts"
READ_ONLY = "read only"


class OpenedProposal:
    """An open proposal; what was computed of a snapshot of a variant is kept until it has moved on.

    Args:
        opened: The proposal with its frozen parts and all that is wrong with both.
        remark: What the opening has to say beside it.
    """

    def __init__(self, opened: Opened, remark: str = "") -> None:
        self._opened = opened
        self._remark = remark
        self._views: dict[str, RollupView] = {}
        self._lock = threading.Lock()

    @property
    def snapshot_number(self) -> int:
        """Number of the newest snapshot."""
        return self._opened.snapshot.number

    @property
    def remark(self) -> str:
        """What the opening has to say beside the proposal itself."""
        return self._remark

    def variants(self) -> tuple[VariantChoice, ...]:
        """The variants, the one shown first in front."""
        proposal = self._opened.snapshot.proposal
        return tuple(
            VariantChoice(
                variant_id,
                proposal.variants[variant_id].name,
                counted(len(proposal.variants[variant_id].modules), "module", "modules"),
            )
            for variant_id in variant_ids(proposal)
        )

    def heading(self, variant: str) -> Heading:
        """What is open."""
        proposal = self._opened.snapshot.proposal
        known = proposal.variants.get(variant)
        return Heading(
            proposal=proposal.proposal.name or self._opened.path.name,
            variant=variant,
            variant_title="" if known is None else known.name,
            revision=proposal.proposal.revision,
            saved=READ_ONLY,
            notice=INVENTED if proposal.proposal.demo else "",
        )

    def view(self, variant: str) -> RollupView:
        """The newest snapshot of a variant, computed once."""
        with self._lock:
            kept = self._views.get(variant)
            if kept is None or kept.snapshot_number != self.snapshot_number:
                kept = self._views[variant] = self._computed(variant)
            return kept

    def _computed(self, variant: str) -> RollupView:
        reviewed = review(compute(self._opened, variant)) if variant else None
        return VariantView(self._opened, self.heading(variant), reviewed).view()
