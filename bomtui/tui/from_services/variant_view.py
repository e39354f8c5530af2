"""One computed variant as the screens show it, with all that they may ask of it later."""

import datetime
import threading
from pathlib import Path

from bomtui.edit.edit import Edit
from bomtui.model.rollup import Rollup
from bomtui.services.editing import accepted
from bomtui.services.errors import BomtuiError
from bomtui.services.explain import Recording, explanation_text, named_figures, recorded
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.fitment import cost_unit
from bomtui.services.open import Opened
from bomtui.services.parts_list import SUFFIXES, default_name, is_unmarked_demo, write_parts_list
from bomtui.services.present import counted
from bomtui.services.review import Reviewed, checked_text
from bomtui.services.vehicle_totals import worst_supply
from bomtui.tui.from_services.details import DetailsOf
from bomtui.tui.from_services.figure_text import by_place
from bomtui.tui.from_services.findings import rule_key, settled, shown_findings
from bomtui.tui.from_services.meters import meters
from bomtui.tui.from_services.names import names_of
from bomtui.tui.from_services.places import Places
from bomtui.tui.view import Details, Explanation, Heading, RollupView, WriteOutcome

NO_VARIANT = "nothing was checked: the proposal has no variant"
NOT_KNOWN = (
    "Nothing of it is known: a value that its formula needs is not given, or no formula fits this place.",
    "The findings name the data that are missing.",
)


class VariantView:
    """One variant of one snapshot. Figures by name, and where they come from, are collected when first asked for.

    Args:
        opened: The proposal.
        heading: What is open.
        reviewed: The variant, computed and reviewed; None where the proposal has none.
    """

    def __init__(self, opened: Opened, heading: Heading, reviewed: Reviewed | None) -> None:
        self._opened = opened
        self._heading = heading
        self._reviewed = reviewed
        self._rollup: Rollup | None = None if reviewed is None else reviewed.computed.rollup
        self._names = names_of(opened.snapshot, heading.variant, self._rollup)
        supply = None if self._rollup is None else worst_supply(opened.snapshot.proposal, self._rollup)
        self._mode = "" if supply is None else supply.mode
        self._findings, self._found = shown_findings(self._names, opened.problems, reviewed)
        self._lock = threading.Lock()
        self._details: DetailsOf | None = None
        self._recording: Recording | None = None

    def view(self) -> RollupView:
        """Everything that the screens show at once, and how to ask for the rest."""
        places = Places(self._names, self._rollup, self._found, self._mode)
        return RollupView(
            snapshot_number=self._opened.snapshot.number,
            heading=self._heading,
            currency=cost_unit(self._opened.snapshot.proposal.proposal.currency, self._rollup),
            mode=self._mode,
            meters=() if self._reviewed is None else meters(self._reviewed),
            vehicle=places.vehicle(),
            modules=places.modules(),
            subsystems=places.subsystems(),
            findings=self._findings,
            checks=NO_VARIANT if self._reviewed is None else checked_text(self._reviewed.review),
            details=self.details,
            explain=self.explain,
            parts_list_path="" if self._reviewed is None else default_name(self._reviewed),
            write_parts_list=self.write_parts_list,
            accept=self.accept,
            settled=() if self._reviewed is None else settled(self._names, self._findings),
            parts_list_suffixes=SUFFIXES,
        )

    def details(self, address: str) -> Details:
        """Return everything known of the line with this address."""
        with self._lock:
            if self._details is None:
                snapshot = self._opened.snapshot
                figures = {} if self._rollup is None else by_place(named_figures(snapshot, self._rollup))
                self._details = DetailsOf(self._names, self._rollup, figures, self._mode, self._found)
        return self._details(address)

    def explain(self, name: str) -> Explanation:
        """Return where a figure comes from: the first call computes the variant once more, the others look it up."""
        with self._lock:
            if self._recording is None:
                self._recording = recorded(self._opened.snapshot, self._heading.variant)
        explained = self._recording.explain(name)
        title, *lines = explanation_text(explained).splitlines()
        return Explanation(title, tuple(lines) if lines or explained.value is not None else NOT_KNOWN)

    def accept(self, key: str, reason: str, by: str) -> Edit:
        """Return the edit that accepts a finding at the numbers of this view, today.

        Raises:
            ValueError: No finding of this review has the key.
        """
        found = () if self._reviewed is None else self._reviewed.review.findings
        number = [rule_key(number) for number in range(len(found))].index(key)
        today = datetime.datetime.now(tz=datetime.UTC).astimezone().date()
        return accepted(self._heading.variant, found[number], reason, by, today)

    def write_parts_list(self, path_text: str, overwrite: bool) -> WriteOutcome:  # noqa: FBT001 - as the screens call it
        """Write the parts list; a name that hides invented parts is said."""
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
        hint = "; invented parts, and the name does not say so" if is_unmarked_demo(reviewed, path) else ""
        return WriteOutcome("written", f"Wrote {lines} to {path.absolute()}{hint}.")
