"""The open proposal as the screens ask for it: what is shown, computed, written, and the steps that change it."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from bomtui.tui.field_view import FieldChoice, FieldHelp, FieldsView
from bomtui.tui.outcomes import Outcome, SaveOutcome
from bomtui.tui.view import CheckedView, Heading, RollupView, VariantChoice, WriteOutcome

# The first screen stands before any proposal is read: what a proposal is made of is loaded with the proposal.
if TYPE_CHECKING:
    from bomtui.edit.edit import Edit
    from bomtui.model.proposal import Snapshot
    from bomtui.services.sheets import Answers
    from bomtui.tui.candidates import CandidateSource
    from bomtui.tui.catalog import CatalogSource
    from bomtui.tui.incoming import IncomingReport, Listed
    from bomtui.tui.opportunities import Opportunities
    from bomtui.tui.report import Refused, Report
    from bomtui.tui.taking import TakingReport


class ProposalSource(Protocol):
    """An open proposal that is worked on. No method touches the screen; what may take a while, any thread may call.

    Everything that changes the proposal goes through `do` or `set_text`, is one step, and can be undone.
    """

    @property
    def snapshot_number(self) -> int:
        """Number of the newest snapshot; a view of an older one is out of date."""

    @property
    def remark(self) -> str:
        """What the opening has to say beside the proposal itself, in one sentence; empty for nothing."""

    def variants(self) -> tuple[VariantChoice, ...]:
        """The variants, the first one being shown first; at once."""

    def heading(self, variant: str) -> Heading:
        """What is open, without any computing; at once."""

    def figures(self, variant: str) -> RollupView:
        """The newest snapshot of a variant, computed; with its findings where they are known; may take a while."""

    def view(self, variant: str) -> CheckedView:
        """The newest snapshot of a variant, computed and checked; may take longer."""

    def view_while_newest(self, variant: str) -> CheckedView | None:
        """The same; None as soon as a step has made it the one before."""

    def comparison(self, first: str, second: str, path: str = "") -> "Report | Refused":
        """Two variants side by side, the first one of another file where a path is given; may take a while."""

    def over_volume(self, variants: "tuple[str, ...]", volumes: "tuple[int, ...]" = ()) -> "Report | Refused":
        """Cost of one variant or two over volume and years; may take a while."""

    def incoming(self, what: "Listed", variant: str, path: str, answers: "Answers") -> "IncomingReport | Refused":
        """What would become of a list of somebody else's; may take a while."""

    def opportunities(
        self, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool]
    ) -> "Opportunities | Refused":
        """Fewer or cheaper drivers; takes a while, tells how far it is, and ends early where nobody wants it."""

    def refresh(self, variant: str) -> "TakingReport | Refused":
        """What the catalog says now of the frozen parts, and what taking it does to the variant; may take a while."""

    def remedies(self, variant: str, rule: str, place: str) -> "TakingReport | Refused":
        """Parts of the catalog that would make a finding go away, each judged in its place; may take a while."""

    @property
    def catalog(self) -> "CatalogSource":
        """The catalog of parts."""

    def module_opportunities(
        self, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool]
    ) -> "Opportunities | Refused":
        """Fewer modules; likewise."""

    @property
    def snapshot(self) -> "Snapshot":
        """Proposal and frozen parts as they are now, to build edits from."""

    @property
    def candidates(self) -> "CandidateSource":
        """What loads, devices, items and modules could be changed to."""

    @property
    def is_unsaved(self) -> bool:
        """Whether the files hold something else."""

    @property
    def offer(self) -> tuple[str, ...]:
        """Steps that a killed program left, in words, and that belong to other contents of the files; often none."""

    def do(self, edit: "Edit", *, continues: bool = False) -> Outcome:
        """Do an edit as one step; it may go on with the step before it, where both set the same field."""

    def set_text(self, place: str, text: str, *, default_unit: str | None = None, continues: bool = False) -> Outcome:
        """Set a field, named as files name it, to what was typed; nothing typed makes it unknown."""

    def record_at(self, variant: str, address: str) -> str | None:
        """The record behind a line of the sheet, as files name it: empty for the vehicle, None for no fields."""

    def fields(self, variant: str, place: str) -> FieldsView | None:
        """The fields of a record as they are now, how a load is placed with them; None where it is gone; at once."""

    def field_help(self, place: str) -> FieldHelp:
        """What a field says of itself."""

    def field_choices(self, place: str) -> tuple[FieldChoice, ...]:
        """What a field may be set to, where that is one of a few."""

    def undo(self) -> Outcome:
        """Take back the last step."""

    def redo(self) -> Outcome:
        """Do the step again that was undone last."""

    def save(self, *, force: bool = False, losing: bool = False) -> SaveOutcome:
        """Write the files; over what somebody else wrote, or losing what the files hold, only where that is said."""

    def save_as(self, path: str, *, overwrite: bool = False) -> WriteOutcome:
        """Write the files under another name and go on there."""

    @property
    def path(self) -> str:
        """Path of the proposal file."""

    @property
    def proposed_path(self) -> str:
        """Where saving under another name goes unless another path is typed."""

    def take_offer(self) -> tuple[str, ...]:
        """Do the offered steps; a sentence for each that cannot be done."""

    def drop_offer(self) -> None:
        """Give up the offered steps for good."""

    def close(self) -> None:
        """End the work; what is unsaved is kept for the next opening."""

    def discard(self) -> None:
        """End the work and give up what is unsaved."""
