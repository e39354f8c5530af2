"""What the artefacts of a package are gathered from: one variant with its figures, computed once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from bomtui.engine.electrics import Electrics
from bomtui.engine.serving import Serving
from bomtui.export.records import Basis
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import Rollup
from bomtui.model.variant import Variant
from bomtui.services.artefact import basis
from bomtui.services.review import Reviewed


@dataclass(frozen=True)
class Subject:
    """One variant.

    Attributes:
        reviewed: The variant, computed and reviewed.
        forced: Whether it is written whatever the errors.
    """

    reviewed: Reviewed
    forced: bool = False

    @cached_property
    def basis(self) -> Basis:
        """What records are made of."""
        return basis(self.reviewed, forced=self.forced)

    @property
    def proposal(self) -> Proposal:
        """The proposal."""
        return self.reviewed.computed.opened.snapshot.proposal

    @property
    def parts(self) -> Mapping[str, Part]:
        """Frozen parts by catalog key."""
        return self.reviewed.computed.opened.snapshot.parts

    @property
    def rollup(self) -> Rollup:
        """The figures."""
        return self.reviewed.computed.rollup

    @property
    def variant(self) -> Variant:
        """The variant."""
        return self.proposal.variants[self.rollup.variant]

    @property
    def serving(self) -> Serving:
        """Which module serves which load."""
        return self.reviewed.computed.memo.serving

    @cached_property
    def electrics(self) -> Electrics:
        """Figures beyond the rollup."""
        memo = self.reviewed.computed.memo
        return Electrics(memo.snapshot, self.rollup.variant, memo.serving, outputs=memo.modules)
