"""An invented proposal for the screens, without any calculation behind it."""

import datetime
import threading
from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace

from bomtui.edit.edit import Edit
from bomtui.edit.edits.finding import AcceptFinding
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.vehicle import Vehicle
from bomtui.services.sheets import Answers
from bomtui.tui.field_view import FieldChoice, FieldHelp, FieldLine, FieldsView
from bomtui.tui.marks import Mark
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.outcomes import Outcome, SaveOutcome
from bomtui.tui.report import Refused, Report, ReportColumn, ReportLine, ReportPage
from bomtui.tui.taking import TakingReport
from bomtui.tui.view import (
    Cells,
    CheckedView,
    Details,
    Figure,
    Finding,
    Heading,
    Meter,
    Place,
    RollupView,
    VariantChoice,
    WriteOutcome,
)
from bomtui.tui.workplace import Entry, Refusal
from tests.tui.fake_candidates import FakeCandidates
from tests.tui.fake_catalog import FakeCatalog
from tests.tui.fake_opportunities import fake_module_opportunities, fake_opportunities
from tests.tui.fake_refresh import fake_refresh
from tests.tui.fake_walk import diagram, explain, failures

LOADS = {
    "L11": "stop lamp left, 21 W",
    "L12": "stop lamp right, 21 W",
    "L24": "work lamp rear, 55 W",
    "C03": "hydraulic oil cooler fan",
    "W05": "water pump valve",
    "W07": "hopper door valve",
}


def _load(ident: str, current: str, mark: Mark = "", word: str = "") -> Place:
    return Place(ident, f"{ident} {LOADS[ident]}", Cells(load_current=current), mark, word)


def _modules() -> tuple[Place, ...]:
    u1 = Place(
        "ZREA.U1",
        "U1 hs24-4x50 high-side switch",
        Cells("3/4", "5", "2.63", "14", "1.3200", "", "2"),
        "over",
        "1 error",
        (_load("L11", "0.75"), _load("L12", "0.75"), _load("L24", "3.93", "over", "error")),
    )
    u2 = Place(
        "ZREA.U2",
        "U2 ls-2x40 low-side switch",
        Cells("2/2", "3", "1.80", ">= 3", "0.8800", "", ""),
        "unknown",
        "1 unknown",
        (_load("W05", "0.90"), _load("W07", "0.90")),
    )
    item = Place("ZREA.board", "board, 1.4 dm2", Cells(parts_cost="2.5200"))
    rear = Place(
        "ZREA",
        "ZREA rear electronics",
        Cells("5/6", "35/120", "8.36", ">= 44.7", "61.2041", "", "2"),
        "over",
        "1 error",
        (u1, u2, item),
    )
    cooler = Place(
        "ZENG.U1",
        "U1 hs24-1x4 high-side switch",
        Cells("1/1", "2", "11.20", "7", "1.9000", "", ""),
        "ok",
        "no finding",
        (_load("C03", "11.20"),),
    )
    engine = Place(
        "ZENG",
        "ZENG engine bay electronics",
        Cells("1/1", "66/142", "21.40", "116.7", "88.0310", "", "1"),
        "check",
        "1 warning",
        (cooler,),
    )
    return (engine, rear)


def _subsystems() -> tuple[Place, ...]:
    return (
        Place(
            "EXT",
            "EXT exterior lighting",
            Cells(load_current="5.43", parts_cost="9.1200"),
            children=(_load("L11", "0.75"), _load("L12", "0.75"), _load("L24", "3.93")),
        ),
        Place(
            "COO",
            "COO cooling fans",
            Cells(load_current="11.20", parts_cost="12.0800"),
            children=(_load("C03", "11.20"),),
        ),
        Place(
            "SWP",
            "SWP sweeping gear",
            Cells(load_current="1.80", parts_cost="7.7000"),
            children=(_load("W05", "0.90"), _load("W07", "0.90")),
        ),
        Place("common", "common: supply, ground, bus", Cells(parts_cost="98.1351")),
        Place("reserve", "reserve: spare channels and ways", Cells(parts_cost="22.2000")),
    )


FINDINGS = (
    Finding(
        "1",
        "ZREA.U1.OUT3",
        "over",
        "error",
        "heat.junction",
        "the junction reaches 162 degC, more than the 150 degC of its data",
        "162 degC",
        "150 degC",
        "Move L24 to a device with a lower on-resistance, or to two joined channels.",
        about=("What it asks:", "    Tj = Ta + Rth x P"),
    ),
    Finding(
        "2",
        "ZENG",
        "check",
        "warning",
        "pins.reserve",
        "131 of 142 pins are used, the reserve asks for 10 %",
        "131",
        "127",
    ),
    Finding(
        "3",
        "ZREA.U2",
        "unknown",
        "undecided",
        "current.channel",
        "the limit of a channel is not known",
        ">= 0.9 A",
        "unknown",
    ),
    Finding(
        "4",
        "sweeper.toml line 41, field loads.W09.zone",
        "over",
        "error",
        "file",
        "zone Z9 does not exist; the zones are Z1 to Z6",
    ),
)

METERS = (
    Meter("Supply", "74.3 typ 118 max A", "of 120 A", "check", "near the limit", "in WORK_NIGHT"),
    Meter("Standby", ">= 963.7 uA", "", "unknown", "3 unknown"),
    Meter("Parking", "<= 119.8 days", "of 42", "unknown", "3 unknown"),
    Meter("Parts", "439.23 EUR", "", "", "", "58 part numbers"),
    Meter("Total", "612.40 EUR", "", "", "", "per vehicle"),
    Meter("Channels", "96 of 124 used", "", "ok", "within limit"),
    Meter("Pins", "279 of 412 used", "", "ok", "within limit"),
)


FIELDS = FieldsView(
    "Load L24 work lamp rear, 55 W",
    (
        FieldLine("loads.L24.name", "name", "text", "work lamp rear", "work lamp rear"),
        FieldLine("loads.L24.rated_power", "rated power", "text", "", "unknown"),
        FieldLine("loads.L24.zone", "zone", "choice", "Z2", "Z2"),
        FieldLine("loads.L24.needed_in_crank", "needed in crank", "flag", "false", "no", "default"),
        FieldLine("loads.L24.diagnosis", "diagnosis", "text", None, "short;open"),
        FieldLine(
            "loads.L24.time_share",
            "time share",
            "fields",
            shown="1 of 2 given",
            children=(
                FieldLine("loads.L24.time_share.PARK", "PARK", "text", "", "unknown"),
                FieldLine("loads.L24.time_share.RUN", "RUN", "text", "35 %", "35 %"),
            ),
        ),
    ),
)

FIELD_HELP = FieldHelp("", "power at the rating voltage", "a power (W)")
DONE = Outcome("done", "Done: all of it.")


def empty_snapshot() -> Snapshot:
    """A proposal with nothing in it."""
    return Snapshot(proposal=Proposal(proposal=Info(name="Street sweeper"), vehicle=Vehicle()), parts={})


@dataclass
class FakeProposal:
    """An open proposal made of constants.

    Attributes:
        base: What its views look like, apart from variant and snapshot.
        snapshot_number: Number of the newest snapshot.
        files: What has been written, by path.
        gate: Views are computed while it is set.
        own_gates: Gates of single variants.
        computed: Variants that were computed, in order.
        failure: Raised instead of computing.
        checks: Findings are known while it is set.
        checks_failure: Raised instead of checking.
        asked: What was to be done to the proposal, in order.
        outcome: What becomes of every step.
        save_outcomes: What becomes of saving, one after the other; behind these it is saved.
        fields_view: The fields of every record.
        field_note: What every field says of itself.
        choices: What every field may be set to.
        gone: Places of records that are no longer there.
        compared: What was compared: first, second, file of the first.
        searches: A search for opportunities goes on until nobody wants it any more.
        catalog: The catalog.
        brings_together: What several opportunities are said to bring together.
    """

    base: CheckedView
    snapshot_number: int = 1
    files: dict[str, str] = field(default_factory=dict)
    gate: threading.Event = field(default_factory=threading.Event)
    own_gates: dict[str, threading.Event] = field(default_factory=dict)
    computed: list[str] = field(default_factory=list)
    failure: Exception | None = None
    checks: threading.Event = field(default_factory=threading.Event)
    checks_failure: Exception | None = None
    remark: str = ""
    snapshot: Snapshot = field(default_factory=empty_snapshot)
    is_unsaved: bool = False
    offer: tuple[str, ...] = ()
    path: str = "sweeper.toml"
    asked: list[str] = field(default_factory=list)
    outcome: Outcome = DONE
    save_outcomes: list[SaveOutcome] = field(default_factory=list)
    fields_view: FieldsView = FIELDS
    field_note: FieldHelp = FIELD_HELP
    choices: tuple[FieldChoice, ...] = (
        FieldChoice("", "none"),
        FieldChoice("Z1", "Z1", "front"),
        FieldChoice("Z2", "Z2", "rear"),
    )
    gone: set[str] = field(default_factory=set)
    compared: list[tuple[str, str, str]] = field(default_factory=list)
    searches: bool = False
    brings_together: str = ""
    variant_choices: tuple[VariantChoice, ...] = (
        VariantChoice("zone", "zone architecture", "5 modules"),
        VariantChoice("distributed", "one module per subsystem", "10 modules"),
    )

    catalog: FakeCatalog = field(default_factory=FakeCatalog)

    def __post_init__(self) -> None:
        self.gate.set()
        self.checks.set()
        self.candidates = FakeCandidates(lambda: self.snapshot_number)

    def variants(self) -> tuple[VariantChoice, ...]:
        """The variants."""
        return self.variant_choices

    def heading(self, variant: str) -> Heading:
        """What is open."""
        titles = {choice.id: choice.title for choice in self.variant_choices}
        saved = "not saved" if self.is_unsaved else "saved"
        return replace(self.base.heading, variant=variant, variant_title=titles.get(variant, ""), saved=saved)

    def figures(self, variant: str) -> RollupView:
        """All of the view at once; without findings while these are held back."""
        if self.checks.is_set():
            return self.view(variant)
        view = self._view(variant)
        return RollupView(**{shown.name: getattr(view, shown.name) for shown in fields(RollupView)})

    def view(self, variant: str) -> CheckedView:
        """The constants, once both gates are open."""
        view = self._view(variant)
        assert self.checks.wait(5), "nobody let the rules answer"
        if self.checks_failure is not None:
            raise self.checks_failure
        return view

    def view_while_newest(self, variant: str) -> CheckedView | None:
        """The same."""
        return self.view(variant)

    def _view(self, variant: str) -> CheckedView:
        number = self.snapshot_number
        assert self.own_gates.get(variant, self.gate).wait(5), "nobody opened the gate"
        if self.failure is not None:
            raise self.failure
        self.computed.append(variant)
        return replace(self.base, snapshot_number=number, heading=self.heading(variant), write_parts_list=self._write)

    def comparison(self, first: str, second: str, path: str = "") -> Report | Refused:
        """Two variants side by side."""
        self.compared.append((first, second, path))
        if path:
            return Refused(f"{path}: there is no such file.")
        return self._report(f"{first} (first) and {second} (second)")

    def over_volume(self, variants: tuple[str, ...], volumes: tuple[int, ...] = ()) -> Report | Refused:
        """Cost over volume."""
        return self._report(f"Volumes of {', '.join(variants)} at {volumes}")

    def incoming(self, what: str, variant: str, path: str, answers: Answers) -> Refused:  # noqa: ARG002 - as called
        """No list is there."""
        return Refused(f"{path}: there is no such list of {what}.")

    def opportunities(
        self, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool]
    ) -> Opportunities | Refused:
        """Two modules that could be packed anew."""
        return fake_opportunities(
            self._report(""), variant, tell, is_wanted, searches=self.searches, together=self.brings_together
        )

    def refresh(self, variant: str) -> TakingReport | Refused:
        """One part that differs."""
        return fake_refresh(self.snapshot_number, variant, self._write, _accept("1", "", ""))

    def remedies(self, variant: str, rule: str, place: str) -> TakingReport | Refused:
        """The same part."""
        self.asked.append(f"{rule} at {place}")
        return self.refresh(variant)

    def module_opportunities(
        self, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool]
    ) -> Opportunities | Refused:
        """Three sets of modules that could become one."""
        return fake_module_opportunities(self._report(""), variant, tell, is_wanted, searches=self.searches)

    def _report(self, title: str) -> Report:
        why = ReportPage(
            "why",
            (ReportColumn("Why"), ReportColumn("Difference", "EUR", "right"), ReportColumn("Waterfall")),
            (
                ReportLine("causes", 0, ("by cause", "-9.8765"), has_children=True),
                ReportLine("rung", 1, ("price rung", "+1.2345", "   ++")),
                ReportLine("part", 1, ("hs24-4x50", "-11.1110", "-----"), variant="zone", address="ZREA.U1",
                           sentence="hs24-4x50: unit price 1.3200"),
            ),
        )  # fmt: skip
        measures = ReportPage(
            "measures", (ReportColumn("Measure"), ReportColumn("First", align="right")), (), empty="None."
        )
        sentence: tuple[Mark, str] = ("ok", "Scope: both serve 108 loads, and only these.")
        return Report(
            self.snapshot_number, title, (sentence,), (why, measures), "compared.json", (".json", ".md"), self._write
        )

    def do(self, edit: Edit, *, continues: bool = False) -> Outcome:  # noqa: ARG002 - as the screens call it
        """Note the edit and answer what the test wants."""
        self.asked.append(edit.label)
        return self._stepped(self.outcome)

    def set_text(
        self,
        place: str,
        text: str,
        *,
        default_unit: str | None = None,  # noqa: ARG002 - as the screens call it
        continues: bool = False,  # noqa: ARG002 - as the screens call it
    ) -> Outcome:
        """Note what was typed and answer what the test wants."""
        self.asked.append(f"{place} = {text}")
        return self._stepped(self.outcome)

    def record_at(self, variant: str, address: str) -> str | None:  # noqa: ARG002 - as the screens call it
        """Loads and modules have fields, and so has the vehicle."""
        if address == "vehicle":
            return ""
        return f"loads.{address}" if address in LOADS else None

    def fields(self, variant: str, place: str) -> FieldsView | None:  # noqa: ARG002 - as the screens call it
        """The constants; none of a record that is gone."""
        return None if place in self.gone else replace(self.fields_view, lines=self.fields_view.lines)

    def field_help(self, place: str) -> FieldHelp:
        """The same of every field."""
        return replace(self.field_note, words=f"{place.rpartition('.')[2]} of L24")

    def field_choices(self, place: str) -> tuple[FieldChoice, ...]:  # noqa: ARG002 - as the screens call it
        """The constants."""
        return self.choices

    def undo(self) -> Outcome:
        """Note it."""
        self.asked.append("undo")
        return self._stepped(self.outcome)

    def redo(self) -> Outcome:
        """Note it."""
        self.asked.append("redo")
        return self._stepped(self.outcome)

    def _stepped(self, outcome: Outcome) -> Outcome:
        if outcome.state == "done":
            self.snapshot_number += 1
            self.is_unsaved = True
        return outcome

    def save(self, *, force: bool = False, losing: bool = False) -> SaveOutcome:
        """Note it and answer what the test wants, the last answer again and again."""
        self.asked.append(f"save{' force' * force}{' losing' * losing}")
        outcome = self.save_outcomes.pop(0) if self.save_outcomes else SaveOutcome("saved", "Saved to sweeper.toml.")
        self.is_unsaved = self.is_unsaved and outcome.state != "saved"
        return outcome

    def save_as(self, path: str, *, overwrite: bool = False) -> WriteOutcome:
        """Write it down."""
        outcome = self._write(path, overwrite) if path.endswith(".toml") else WriteOutcome("refused", "NAME.toml.")
        if outcome.state == "written":
            self.path, self.is_unsaved = path, False
        return outcome

    @property
    def proposed_path(self) -> str:
        """Its own path."""
        return self.path

    def take_offer(self) -> tuple[str, ...]:
        """Note it."""
        self.asked.append("take offer")
        self.offer = ()
        return ()

    def drop_offer(self) -> None:
        """Note it."""
        self.asked.append("drop offer")
        self.offer = ()

    def close(self) -> None:
        """Note it."""
        self.asked.append("close")

    def discard(self) -> None:
        """Note it."""
        self.asked.append("discard")

    def _write(self, path: str, overwrite: bool) -> WriteOutcome:
        if not path.endswith((".csv", ".json", ".md", ".toml")):
            return WriteOutcome("refused", f"{path}: the suffix must be .csv, .json or .md.")
        if path in self.files and not overwrite:
            return WriteOutcome("exists", f"{path} exists.")
        self.files[path] = "again" if path in self.files else "once"
        return WriteOutcome("written", f"Wrote 58 lines to {path}.")


def _details(address: str) -> Details:
    return Details(
        f"{address} in full",
        (
            Figure("Load current, WORK_NIGHT, typical", "3.93 A", "", "", f"{address}:load_current_a@WORK_NIGHT/typ"),
            Figure(
                "Load current, WORK_NIGHT, worst",
                "4.41 A",
                "over",
                "over its limit of 3.6 A",
                f"{address}:load_current_a@WORK_NIGHT/max",
            ),
            Figure(
                "Junction temperature, worst",
                "162 degC",
                "over",
                "over its limit of 150 degC",
                f"{address}:junction_degc/max",
            ),
            Figure("Maker's part number", "0710037"),
        ),
        ("Note: the customer asks for the same lamp on both sides.",),
    )


def _accept(key: str, reason: str, by: str) -> Edit:
    return AcceptFinding(
        variant="zone",
        rule="heat.junction",
        place=key,
        reason=reason,
        by=by,
        date=datetime.date(2026, 3, 2),
        measured="162 degC",
        limit="150 degC",
    )


def rollup_view(**changes: object) -> CheckedView:
    """A view, with some fields changed."""
    view = CheckedView(
        snapshot_number=1,
        heading=Heading("Street sweeper", "zone", "zone architecture", "3", "saved", "invented parts"),
        currency="EUR",
        mode="WORK_NIGHT",
        meters=METERS,
        vehicle=Place(
            "vehicle",
            "Whole vehicle",
            Cells("96/124", "279/412", "56.74", ">= 963.7", "439.2334", "", "4"),
            "over",
            "2 errors",
        ),
        modules=_modules(),
        subsystems=_subsystems,
        findings=FINDINGS,
        checks="412 checks ran, 23 could not: data missing.",
        details=_details,
        failures=failures,
        diagram=diagram,
        explain=explain,
        parts_list_path="sweeper-zone-parts.csv",
        write_parts_list=lambda path, _: WriteOutcome("written", path),
        package_path="sweeper-zone-package",
        write_package=lambda path, _, wishes: WriteOutcome("written", f"{path} {wishes}"),
        accept=_accept,
    )
    return replace(view, **changes)  # type: ignore[arg-type]


def large_view(module_count: int = 150, load_count: int = 2000) -> CheckedView:
    """A view with many modules and loads."""
    per_module = load_count // module_count + 1
    modules = []
    for number in range(module_count):
        loads = tuple(
            Place(f"L{load}", f"L{load} load number {load}", Cells(load_current=f"{load / 100:.2f}"))
            for load in range(number * per_module, min(load_count, (number + 1) * per_module))
        )
        modules.append(
            Place(
                f"M{number}",
                f"M{number} module",
                Cells("3/4", "35/120", "8.36", "44.7", "61.2041", "", ""),
                "ok",
                "no finding",
                loads,
            )
        )
    return rollup_view(modules=tuple(modules))


@dataclass
class FakeWorkplace:
    """A workplace with two samples.

    Attributes:
        proposal: What every path opens.
        recent_entries: What was opened last.
        refusals: Paths that cannot be opened.
    """

    proposal: FakeProposal
    recent_entries: tuple[Entry, ...] = ()
    refusals: dict[str, Refusal] = field(default_factory=dict)

    @property
    def catalog(self) -> FakeCatalog:
        """That of the proposal."""
        return self.proposal.catalog

    def recent(self) -> tuple[Entry, ...]:
        """What was opened last."""
        return self.recent_entries

    def samples(self) -> tuple[Entry, ...]:
        """The samples."""
        return (
            Entry("samples/street_sweeper", "Street sweeper", "24 V, 108 loads"),
            Entry("samples/parcel_van", "Parcel van", "12 V, 107 loads"),
        )

    def open(self, path: str) -> FakeProposal | Refusal:
        """The one proposal, or why not."""
        return self.refusals.get(path, self.proposal)


def fake_workplace() -> FakeWorkplace:
    """A workplace that opens the usual view."""
    return FakeWorkplace(FakeProposal(rollup_view()))
