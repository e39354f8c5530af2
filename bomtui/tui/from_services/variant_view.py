"""One computed variant as the screens show it, with all that they may ask of it later."""

import datetime
import threading
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path

from bomtui.edit.edit import Edit
from bomtui.model.rollup import Rollup
from bomtui.services.editing import accepted
from bomtui.services.errors import BomtuiError
from bomtui.services.explain import Recording, explanation_text, named_figures, recorded
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.fitment import cost_unit
from bomtui.services.open import Opened
from bomtui.services.package.naming import default_folder
from bomtui.services.parts_list import SUFFIXES, default_name, is_unmarked_demo, write_parts_list
from bomtui.services.present import counted
from bomtui.services.review import Reviewed, checked_text, review, review_while
from bomtui.services.rollup import Computed
from bomtui.services.vehicle_totals import worst_supply
from bomtui.tui.from_services.details import DetailsOf
from bomtui.tui.from_services.figure_text import Named, by_place
from bomtui.tui.from_services.findings import OpenFindings, rule_key, settled, shown_findings
from bomtui.tui.from_services.hinting import hint_text
from bomtui.tui.from_services.kept_lines import Kept
from bomtui.tui.from_services.meters import meters
from bomtui.tui.from_services.names import names_of
from bomtui.tui.from_services.places import Places
from bomtui.tui.view import (
    CheckedView,
    Details,
    DiagramView,
    Explanation,
    FailuresView,
    Heading,
    PackageWishes,
    RollupView,
    WriteOutcome,
)

NO_VARIANT = "nothing was checked: the proposal has no variant"
NOT_KNOWN = (
    "Nothing of it is known: a value that its formula needs is not given, or no formula fits this place.",
    "The findings name the data that are missing.",
)


class VariantView:
    """One variant of one snapshot: its figures at once, its findings when they are asked for.

    Findings, figures by name, and where they come from, are collected when first asked for. Any thread may ask.

    Args:
        opened: The proposal.
        heading: What is open.
        computed: The variant; None where the proposal has none.
        kept: What was built and asked of the variant before; replaced by what this view builds and asks.
    """

    def __init__(self, opened: Opened, heading: Heading, computed: Computed | None, kept: Kept | None = None) -> None:
        self._opened = opened
        self._heading = heading
        self._computed = computed
        self._rollup: Rollup | None = None if computed is None else computed.rollup
        self._kept = Kept() if kept is None else kept
        self._names = names_of(opened.snapshot, heading.variant, self._rollup, self._kept.standing)
        self._kept.standing = self._names.standing
        supply = None if self._rollup is None else worst_supply(opened.snapshot.proposal, self._rollup)
        self._mode = "" if supply is None else supply.mode
        self._lock = threading.Lock()
        self._details_lock = threading.Lock()
        self._named: dict[str, list[Named]] | None = None
        self._recording: Recording | None = None
        self._failures: FailuresView | None = None
        self._reviewed: Reviewed | None = None
        self._hint = hint_text(self._kept.computed, computed)
        self._kept.computed = computed
        self._figures = self._shown(OpenFindings(are_known=False), None)
        self._checked: CheckedView | None = None

    @property
    def snapshot_number(self) -> int:
        """Number of the snapshot."""
        return self._opened.snapshot.number

    def figures(self) -> RollupView:
        """Everything that the screens show at once, as far as it is known, and how to ask for the rest."""
        return self._checked or self._figures

    def view(self) -> CheckedView:
        """The same with its findings; the first call asks every rule."""
        with self._lock:
            if self._checked is None:
                computed = self._computed
                self._checked = self._with(None if computed is None else review(computed, self._kept.answers))
            return self._checked

    def reviewed(self) -> Reviewed | None:
        """The variant with its review; None where the proposal has no variant."""
        self.view()
        return self._reviewed

    def view_while(self, is_wanted: Callable[[], bool]) -> CheckedView | None:
        """The same; None as soon as nobody wants to know any more.

        Args:
            is_wanted: Asked now and then whether to go on.
        """
        with self._lock:
            if self._checked is None:
                computed = self._computed
                reviewed = None if computed is None else review_while(computed, is_wanted, self._kept.answers)
                if computed is not None and reviewed is None:
                    return None
                self._checked = self._with(reviewed)
            return self._checked

    def _with(self, reviewed: Reviewed | None) -> CheckedView:
        self._reviewed = reviewed
        findings, found = shown_findings(self._names, self._opened.problems, reviewed)
        checks = NO_VARIANT if reviewed is None else checked_text(reviewed.review)
        lone = () if reviewed is None else settled(self._names, findings)
        return CheckedView.of(self._shown(found, reviewed), findings, lone, checks, self.accept)

    def _shown(self, found: OpenFindings, reviewed: Reviewed | None) -> RollupView:
        computed = self._computed
        places = Places(self._names, self._rollup, found, self._mode, self._kept)
        return RollupView(
            snapshot_number=self.snapshot_number,
            heading=self._heading,
            currency=cost_unit(self._opened.snapshot.proposal.proposal.currency, self._rollup),
            mode=self._mode,
            meters=() if computed is None else meters(computed, None if reviewed is None else reviewed.review),
            vehicle=places.vehicle(),
            modules=places.modules(),
            subsystems=cache(places.subsystems),
            details=partial(self.details, found),
            explain=self.explain,
            failures=self.failures,
            diagram=self.diagram,
            parts_list_path="" if computed is None else default_name(computed),
            write_parts_list=self.write_parts_list,
            parts_list_suffixes=SUFFIXES,
            package_path="" if computed is None else default_folder(computed),
            write_package=self.write_package,
            hint=self._hint,
        )

    def details(self, found: OpenFindings, address: str) -> Details:
        """Return everything known of the line with this address, with its findings as far as they are known."""
        with self._details_lock:
            if self._named is None:
                computed = self._computed
                self._named = {} if computed is None else by_place(named_figures(computed.memo))
        return DetailsOf(self._names, self._rollup, self._named, self._mode, found)(address)

    def explain(self, name: str) -> Explanation:
        """Return where a figure comes from: the first call computes the variant once more, the others look it up."""
        with self._details_lock:
            if self._recording is None:
                self._recording = recorded(self._opened.snapshot, self._heading.variant)
        explained = self._recording.explain(name)
        title, *lines = explanation_text(explained).splitlines()
        return Explanation(title, tuple(lines) if lines or explained.value is not None else NOT_KNOWN)

    def failures(self) -> FailuresView:
        """Return what is lost with every single thing; the first call walks, the others look it up."""
        from bomtui.tui.from_services.failures import NO_FAILURES, failures_view

        with self._details_lock:
            if self._failures is None:
                is_there = self._computed is not None
                snapshot, variant = self._opened.snapshot, self._heading.variant
                self._failures = failures_view(snapshot, variant) if is_there else NO_FAILURES
        return self._failures

    def diagram(self, module: str, width: int, is_plain: bool) -> DiagramView:  # noqa: FBT001 - as the screens call it
        """Return the block diagram of a module, or of the vehicle."""
        from bomtui.tui.from_services.diagrams import diagram_view

        return diagram_view(self._opened.snapshot, self._rollup, module, width, is_plain=is_plain)

    def accept(self, key: str, reason: str, by: str) -> Edit:
        """Return the edit that accepts a finding at the numbers of this view, today.

        Raises:
            ValueError: No finding of this review has the key.
        """
        self.view()
        found = () if self._reviewed is None else self._reviewed.review.findings
        number = [rule_key(number) for number in range(len(found))].index(key)
        today = datetime.datetime.now(tz=datetime.UTC).astimezone().date()
        return accepted(self._heading.variant, found[number], reason, by, today)

    def write_parts_list(self, path_text: str, overwrite: bool) -> WriteOutcome:  # noqa: FBT001 - as the screens call it
        """Write the parts list; a name that hides invented parts is said."""
        self.view()
        reviewed = self._reviewed
        if reviewed is None:
            return WriteOutcome("refused", "Nothing was written: the proposal has no variant.")
        path = Path(path_text).expanduser()
        try:
            write_parts_list(reviewed, path, overwrite=overwrite)
        except FileExistsAlreadyError as error:
            return WriteOutcome("exists", f"{error}.")
        except BomtuiError as error:
            return WriteOutcome("refused", f"{error}.")
        lines = counted(len(reviewed.computed.rollup.cost.lines), "line", "lines")
        hint = "; invented parts, and the name does not say so" if is_unmarked_demo(reviewed.computed, path) else ""
        return WriteOutcome("written", f"Wrote {lines} to {path.absolute()}{hint}.")

    def write_package(self, path_text: str, overwrite: bool, wishes: PackageWishes) -> WriteOutcome:  # noqa: FBT001 - as the screens call it
        """Write every artefact into a folder."""
        from bomtui.tui.from_services.packaging import written_package

        self.view()
        if self._reviewed is None:
            return WriteOutcome("refused", "Nothing was written: the proposal has no variant.")
        return written_package(self._reviewed, path_text, wishes, overwrite=overwrite)
