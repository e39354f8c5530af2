"""An open proposal as the screens ask for it and change it."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from bomtui.edit.edit import Edit, Refusal
from bomtui.model.proposal import Snapshot
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.present import counted
from bomtui.services.review import Reviewed
from bomtui.services.rollup import variant_ids
from bomtui.services.samples import is_sample, own_copy
from bomtui.services.saving import ConflictError, LossError, SampleError
from bomtui.services.session import Session
from bomtui.tui.candidates import CandidateSource
from bomtui.tui.field_view import FieldChoice, FieldHelp, FieldsView
from bomtui.tui.from_services.address import address_of, place_of
from bomtui.tui.from_services.field_lines import choices_of, fields_of, help_of, record_at
from bomtui.tui.from_services.kept_lines import Kept
from bomtui.tui.from_services.variant_view import VariantView
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.outcomes import Outcome, SaveOutcome
from bomtui.tui.report import Refused, Report
from bomtui.tui.view import CheckedView, Heading, RollupView, VariantChoice, WriteOutcome

if TYPE_CHECKING:
    from bomtui.services.sheets import Answers
    from bomtui.tui.catalog import CatalogSource
    from bomtui.tui.incoming import IncomingReport, Listed
    from bomtui.tui.taking import TakingReport

INVENTED = "invented parts"
SAVED = "saved"
NOT_SAVED = "not saved"


class SessionSource:
    """A proposal that is worked on; what was computed of a snapshot of a variant is kept until it has moved on.

    Args:
        session: The proposal, its history and its files.
        remark: What the opening has to say beside it.
        remember: Remembers where the work goes on under another name; gives a sentence where it cannot.
    """

    def __init__(self, session: Session, remark: str = "", remember: Callable[[Session], str] = lambda _: "") -> None:
        self._session = session
        self._remember = remember
        self._remark = remark
        self._views: dict[str, VariantView] = {}
        self._kept: dict[str, Kept] = {}
        self._lock = threading.Lock()
        self._candidates: CandidateSource | None = None
        self._catalog: CatalogSource | None = None

    @property
    def snapshot(self) -> Snapshot:
        """Proposal and frozen parts as they are now."""
        return self._session.snapshot

    @property
    def snapshot_number(self) -> int:
        """Number of the newest snapshot."""
        return self._session.snapshot.number

    @property
    def remark(self) -> str:
        """What the opening has to say beside the proposal itself."""
        return self._remark

    @property
    def is_unsaved(self) -> bool:
        """Whether the files hold something else."""
        return self._session.unsaved

    @property
    def candidates(self) -> CandidateSource:
        """What loads, devices, items and modules could be changed to."""
        if self._candidates is None:
            # Only who asks for candidates waits for what ranks them.
            from bomtui.tui.from_services.candidates import SessionCandidates

            self._candidates = SessionCandidates(self._session)
        return self._candidates

    @property
    def path(self) -> str:
        """Path of the proposal file."""
        return str(self._session.path)

    @property
    def proposed_path(self) -> str:
        """Where saving under another name goes unless another path is typed; of a sample the folder one is in."""
        own = self._session.path
        return str(own_copy(own, Path.cwd()) if is_sample(own) else own)

    @property
    def offer(self) -> tuple[str, ...]:
        """Steps that a killed program left for other contents of the files."""
        return () if self._session.offer is None else self._session.offer.labels

    def variants(self) -> tuple[VariantChoice, ...]:
        """The variants, the one shown first in front."""
        proposal = self.snapshot.proposal
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
        proposal = self.snapshot.proposal
        known = proposal.variants.get(variant)
        return Heading(
            proposal=proposal.proposal.name or self._session.path.name,
            variant=variant,
            variant_title="" if known is None else known.name,
            revision=proposal.proposal.revision,
            saved=NOT_SAVED if self.is_unsaved else SAVED,
            notice=INVENTED if proposal.proposal.demo else "",
        )

    def figures(self, variant: str) -> RollupView:
        """The newest snapshot of a variant, computed once; with its findings as soon as they are known."""
        return self._newest(variant).figures()

    def view(self, variant: str) -> CheckedView:
        """The newest snapshot of a variant, computed and checked once."""
        return self._newest(variant).view()

    def view_while_newest(self, variant: str) -> CheckedView | None:
        """The same; None as soon as a step has made it the one before."""
        newest = self._newest(variant)
        return newest.view_while(lambda: newest.snapshot_number == self.snapshot_number)

    def comparison(self, first: str, second: str, path: str = "") -> Report | Refused:
        """Two variants side by side, the first one of another file where a path is given."""
        from bomtui.tui.from_services.reporting import comparison

        return comparison(self._reviewed, first, second, path)

    def over_volume(self, variants: tuple[str, ...], volumes: tuple[int, ...] = ()) -> Report | Refused:
        """Cost of one variant or two over volume and years."""
        from bomtui.tui.from_services.reporting import over_volume

        return over_volume(self._reviewed, variants, volumes)

    def incoming(self, what: "Listed", variant: str, path: str, answers: "Answers") -> "IncomingReport | Refused":
        """What would become of a list of somebody else's."""
        from bomtui.tui.from_services.incoming import incoming_report

        return incoming_report(self.snapshot, what, variant, Path(path).expanduser(), answers)

    def opportunities(
        self, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool]
    ) -> Opportunities | Refused:
        """Fewer or cheaper drivers."""
        from bomtui.tui.from_services.opportunities import opportunities

        return opportunities(self._reviewed(variant), tell, is_wanted)

    def refresh(self, variant: str) -> "TakingReport | Refused":
        """What the catalog says now of the frozen parts."""
        from bomtui.tui.from_services.refreshing import refresh_report

        return refresh_report(self._reviewed(variant))

    def remedies(self, variant: str, rule: str, place: str) -> "TakingReport | Refused":
        """Parts of the catalog that would make a finding go away."""
        from bomtui.tui.from_services.remedying import remedies_report

        return remedies_report(self._reviewed(variant), rule, place)

    @property
    def catalog(self) -> "CatalogSource":
        """The catalog of parts; what was looked for last is kept with it."""
        if self._catalog is None:
            # Only who asks for the catalog waits for what reads it.
            from bomtui.tui.from_services.catalog import ServicesCatalog

            self._catalog = ServicesCatalog()
        return self._catalog

    def module_opportunities(
        self, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool]
    ) -> Opportunities | Refused:
        """Fewer modules."""
        from bomtui.tui.from_services.module_opportunities import module_opportunities

        return module_opportunities(self._reviewed(variant), tell, is_wanted)

    def _reviewed(self, variant: str) -> Reviewed | None:
        """The newest snapshot of a variant, reviewed once; None where there is no such variant."""
        return self._newest(variant).reviewed() if variant in self.snapshot.proposal.variants else None

    def _newest(self, variant: str) -> VariantView:
        with self._lock:
            kept = self._views.get(variant)
            if kept is None or kept.snapshot_number != self.snapshot_number:
                kept = self._views[variant] = self._computed(variant)
            return kept

    def _computed(self, variant: str) -> VariantView:
        # Taken once: a step may come in while this is computed.
        opened = self._session.opened
        computed = self._session.computed(variant) if variant in opened.snapshot.proposal.variants else None
        kept = self._kept.setdefault(variant, Kept())
        return VariantView(opened if computed is None else computed.opened, self.heading(variant), computed, kept)

    def do(self, edit: Edit, *, continues: bool = False) -> Outcome:
        """Do an edit as one step."""
        before = self.snapshot
        try:
            refusal = self._session.do(edit, continues=continues)
        except BomtuiError as error:
            return Outcome("failed", f"{error}.")
        return self._outcome(edit, before, refusal)

    def set_text(self, place: str, text: str, *, default_unit: str | None = None, continues: bool = False) -> Outcome:
        """Set a field to what was typed."""
        from bomtui.services.editing import typed

        edit = typed(place, text, default_unit)
        if isinstance(edit, Refusal):
            return Outcome("refused", f"{edit.sentence}.")
        return self.do(edit, continues=continues)

    def _outcome(self, edit: Edit, before: Snapshot, refusal: Refusal | None) -> Outcome:
        if refusal is not None:
            return Outcome("refused", f"{refusal.sentence}.", retry=refusal.retry)
        if self.snapshot is before:
            return Outcome("nothing", "That changes nothing.")
        return Outcome("done", f"Done: {edit.label}.", address_of(edit), place_of(edit))

    def record_at(self, variant: str, address: str) -> str | None:
        """The record behind a line of the working sheet."""
        return record_at(self.snapshot, variant, address)

    def fields(self, variant: str, place: str) -> FieldsView | None:
        """The fields of a record as they are now."""
        return fields_of(self.snapshot, variant, place)

    def field_help(self, place: str) -> FieldHelp:
        """What a field says of itself."""
        return help_of(place)

    def field_choices(self, place: str) -> tuple[FieldChoice, ...]:
        """What a field may be set to, where that is one of a few."""
        return choices_of(self.snapshot, place)

    def undo(self) -> Outcome:
        """Take back the last step."""
        step = self._session.last_step
        try:
            label = self._session.undo()
        except BomtuiError as error:
            return Outcome("failed", f"{error}.")
        if step is None:
            return Outcome("nothing", "Nothing to undo.")
        return Outcome("done", f"Undone: {label}.", address_of(step, is_undone=True), place_of(step, is_undone=True))

    def redo(self) -> Outcome:
        """Do the step again that was undone last."""
        step = self._session.next_step
        try:
            label = self._session.redo()
        except BomtuiError as error:
            return Outcome("failed", f"{error}.")
        if step is None:
            return Outcome("nothing", "Nothing to do again.")
        return Outcome("done", f"Done again: {label}.", address_of(step), place_of(step))

    def save(self, *, force: bool = False, losing: bool = False) -> SaveOutcome:
        """Write the files."""
        if not self.is_unsaved and not force:
            return SaveOutcome("nothing", "Nothing to save: the files hold all of it.")
        try:
            self._session.save(force=force, losing=losing)
        except SampleError:
            return SaveOutcome(
                "sample", "This sample came with the program and stays as it is: save it as your own file."
            )
        except ConflictError as error:
            return SaveOutcome("conflict", f"{error}.")
        except LossError as error:
            return SaveOutcome("loss", "Saving would lose something that the file holds.", error.losses)
        except BomtuiError as error:
            return SaveOutcome("failed", f"{error}.")
        return SaveOutcome("saved", f"Saved to {self.path}.")

    def save_as(self, path: str, *, overwrite: bool = False) -> WriteOutcome:
        """Write the files under another name and go on there."""
        said = len(self._session.notices)
        try:
            self._session.save_as(Path(path).expanduser(), overwrite=overwrite)
        except FileExistsAlreadyError as error:
            return WriteOutcome("exists", f"{error}.")
        except BomtuiError as error:
            return WriteOutcome("refused", f"{error}.")
        remark = self._remember(self._session)
        sentences = (f"Saved to {self.path}; the work goes on there.", remark, *self._session.notices[said:])
        return WriteOutcome("written", " ".join(filter(None, sentences)))

    def take_offer(self) -> tuple[str, ...]:
        """Do the offered steps."""
        try:
            return self._session.take_offer()
        except BomtuiError as error:
            return (str(error),)

    def drop_offer(self) -> None:
        """Give up the offered steps."""
        self._session.drop_offer()

    def close(self) -> None:
        """End the work; what is unsaved is kept for the next opening."""
        self._session.close()

    def discard(self) -> None:
        """End the work and give up what is unsaved."""
        self._session.discard()
