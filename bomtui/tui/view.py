"""What the screens show and ask for: plain data and callables, no screen library.

Numbers arrive as finished text, with unit or bound, and states with their words: the rules of how a number is written
and when a value is within its limit belong to the layers below. A view belongs to one snapshot of one variant, and so
do its callables: what is explained or written is what is on the screen.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Literal

from bomtui.tui.marks import Mark

# The first screen stands before any proposal is read: what a proposal is made of is loaded with the proposal.
if TYPE_CHECKING:
    from bomtui.edit.edit import Edit

CHECKING = "checking"
"""State in words of what has new figures and whose findings are not known yet."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure in full.

    Attributes:
        title: What it is, with mode and corner where they matter.
        text: Number and unit, such as `118 A` or `>= 49 uA  3 unknown`.
        mark: State; empty where the figure has no limit.
        word: State in words.
        name: The figure's name for explaining it; empty where nothing is computed.
    """

    title: str
    text: str
    mark: Mark = ""
    word: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Cells:
    """Figures of a place in the sheet, without units; an empty text says that the figure does not apply.

    Attributes:
        channels: Driver channels, used and there, such as `22/28`.
        pins: Controller pins, used and there.
        load_current: Typical load current over the mode of the view, in ampere.
        standby: Current while the vehicle is parked, in microampere.
        parts_cost: Parts of one vehicle, the average one where vehicles differ, in the proposal's currency.
        cost: All cost of one vehicle, the average one where vehicles differ, in the proposal's currency.
        findings: How many findings are open here.
    """

    channels: str = ""
    pins: str = ""
    load_current: str = ""
    standby: str = ""
    parts_cost: str = ""
    cost: str = ""
    findings: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """A line of the sheet: module, device, load, item or subsystem.

    Attributes:
        address: Id or address, such as `ZREA`, `ZREA.U6`; one load may stand in several places under one address.
        title: Name.
        cells: Figures.
        mark: Worst state of what is here.
        word: State in words.
        children: What is inside.
    """

    address: str
    title: str
    cells: Cells = Cells()
    mark: Mark = ""
    word: str = ""
    children: tuple["Place", ...] = ()


@dataclass(frozen=True, slots=True)
class Heading:
    """What is open.

    Attributes:
        proposal: Title of the proposal.
        variant: Id of the variant.
        variant_title: Name of the variant; empty if it has none.
        revision: Revision as the engineer typed it.
        saved: Saved state in words: `saved` or `not saved`.
        notice: A warning that stands on every screen, such as `invented parts`; empty for none.
    """

    proposal: str
    variant: str
    variant_title: str
    revision: str
    saved: str
    notice: str = ""


@dataclass(frozen=True, slots=True)
class Meter:
    """One of the vehicle's figures that are always in sight.

    Attributes:
        title: One word, such as `Supply`.
        value: Number and unit first, such as `74.3 typ 118 max A` or `>= 49 uA  3 unknown`.
        limit: What it is held against, such as `of 120 A`; empty for none.
        mark: State.
        word: State in words.
        note: What else must be known to read it, such as the mode; dropped where there is no room.
    """

    title: str
    value: str
    limit: str = ""
    mark: Mark = ""
    word: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule's result at one place, or one problem of the file.

    Attributes:
        key: Unique in the view.
        place: The place in words: its address; of a problem of the file its file, line and field.
        mark: Severity as a state.
        word: Severity or outcome in words, such as `error` or `undecided`.
        rule: Name of the rule; `file` for a problem of the file.
        message: One sentence.
        measured: What the place has, with unit.
        limit: What it is held against, with unit.
        remedy: What to do.
        status: `open`, or `accepted` with name and reason.
        address: Address of the line of the sheet that it leads to, where that is not the place.
        about: What the rule says of itself, line by line.
        accepted_id: Id of the acceptance that holds for it; empty for an open finding.
        lapsed: Whose acceptance held until the numbers changed, with date, reason and numbers; empty for none.
        lapsed_id: Id of that acceptance.
        can_be_accepted: Whether somebody may accept it: it was found by a rule of this variant.
    """

    key: str
    place: str
    mark: Mark
    word: str
    rule: str
    message: str
    measured: str = ""
    limit: str = ""
    remedy: str = ""
    status: str = "open"
    address: str = ""
    about: tuple[str, ...] = ()
    accepted_id: str = ""
    lapsed: str = ""
    lapsed_id: str = ""
    can_be_accepted: bool = False

    @property
    def target(self) -> str:
        """Address of the line that it leads to."""
        return self.address or self.place


@dataclass(frozen=True, slots=True)
class Details:
    """Everything known of a place.

    Attributes:
        title: What it is.
        figures: Its figures, given and computed.
        findings: The findings that are about it; None while they are being checked.
        notes: Further sentences, the engineer's own notes among them.
    """

    title: str
    figures: tuple[Figure, ...]
    notes: tuple[str, ...] = ()
    findings: tuple[Finding, ...] | None = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    """Where a figure comes from.

    Attributes:
        title: The figure and its value.
        lines: The steps as text, indented by how deep they are.
    """

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Failure:
    """What is lost with one thing taken out.

    Attributes:
        key: Unique in the view.
        title: What is taken out, such as `controller ZREA.U8 (mcu-144)`.
        address: Address of its line in the sheet; empty where it has none.
        outputs: How many outputs are lost.
        inputs: How many inputs are lost.
        possible: How many loads may be lost.
        level: Highest integrity level of a load that is lost, or may be; empty where nothing is.
        lines: What is lost in words: label and text, line by line.
    """

    key: str
    title: str
    address: str
    outputs: int
    inputs: int
    possible: int
    level: str
    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FailuresView:
    """Every single failure of a variant.

    Attributes:
        failures: One per thing, in the order in which people read them.
        common: What loads share with their stand-ins, one sentence each.
        caution: What a stand-in that works does not mean.
        unknown: What the proposal does not say, one sentence each.
    """

    failures: tuple[Failure, ...]
    common: tuple[str, ...]
    caution: str
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DiagramView:
    """A block diagram, drawn for a width.

    Attributes:
        title: What it is of.
        lines: Its lines, and which of them are headlines.
        note: What its currents are.
    """

    title: str
    lines: tuple[tuple[str, bool], ...]
    note: str


@dataclass(frozen=True, slots=True)
class WriteOutcome:
    """What became of writing a file.

    Attributes:
        state: `exists` if a file is there and overwriting was not asked for; `refused` with the reason as the message.
        message: One sentence: what was written and where, or why not.
    """

    state: Literal["written", "exists", "refused"]
    message: str


@dataclass(frozen=True, slots=True)
class PackageWishes:
    """How a package is written.

    Attributes:
        formats: Formats that are wanted, with commas between; empty for all.
        decimal_comma: Whether the decimal mark is a comma.
        currency: `header`, `code` or `symbol`: where the currency of an amount stands.
        paper: Paper of the workbooks.
        forced: Whether every file says that it is sent in spite of errors.
    """

    formats: str = ""
    decimal_comma: bool = False
    currency: Literal["header", "code", "symbol"] = "header"
    paper: Literal["A4", "Letter"] = "A4"
    forced: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RollupView:
    """One variant of one snapshot, computed; nothing is known yet of what the rules say of it.

    Until then a line of which no figure has changed may still have its state from before the last step.

    Attributes:
        snapshot_number: Number of the snapshot.
        heading: What is open.
        currency: Currency of all money in it; with `avg` behind it where vehicles differ and it is the average one's.
        mode: Id of the mode that the load currents of the sheet are from; empty where there is none.
        meters: The vehicle's figures that stay in sight.
        vehicle: The whole vehicle, without what is inside.
        modules: Modules with their devices, items and loads.
        subsystems: Subsystems with their loads, what is common and what is reserve; collected when first asked for.
        details: Everything known of the place with this address.
        explain: Where the figure with this name comes from; may take a while.
        failures: What is lost with every single thing; may take a while.
        diagram: The block diagram of the module with this id, of the vehicle for none, for so many columns, with the
            full set of signs or the plain one.
        parts_list_path: Where a parts list goes unless another path is typed.
        write_parts_list: Writes the parts list to a path, its format by the path's suffix; the flag allows overwriting.
        parts_list_suffixes: The suffixes that are understood.
        hint: What may be worth a look after the last step, judged by nothing; empty for nothing.
        package_path: Folder to which the package goes unless another one is typed.
        write_package: Writes every artefact into a folder as it is wished; the flag allows replacing an unchanged
            former package.
    """

    snapshot_number: int
    heading: Heading
    currency: str
    mode: str
    meters: tuple[Meter, ...]
    vehicle: Place
    modules: tuple[Place, ...]
    subsystems: Callable[[], tuple[Place, ...]]
    details: Callable[[str], Details]
    explain: Callable[[str], Explanation]
    failures: Callable[[], FailuresView]
    diagram: Callable[[str, int, bool], DiagramView]
    parts_list_path: str
    write_parts_list: Callable[[str, bool], WriteOutcome]
    package_path: str
    write_package: Callable[[str, bool, PackageWishes], WriteOutcome]
    parts_list_suffixes: tuple[str, ...] = (".csv", ".json", ".md")
    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedView(RollupView):
    """The same with its findings.

    Attributes:
        findings: Problems of the file and findings, worst first.
        settled: Acceptances of which nothing is found any more, each as a finding that is none.
        checks: One sentence: how many checks ran, and how many could not.
        accept: The edit that accepts the finding with this key at its numbers, today, with a reason and a name.
    """

    findings: tuple[Finding, ...]
    settled: tuple[Finding, ...] = ()
    checks: str
    accept: "Callable[[str, str, str], Edit]"

    @classmethod
    def of(
        cls,
        view: RollupView,
        findings: tuple[Finding, ...],
        settled: tuple[Finding, ...],
        checks: str,
        accept: "Callable[[str, str, str], Edit]",
    ) -> "CheckedView":
        """Add the findings to a view of which all states are those that they lead to."""
        shown = {field.name: getattr(view, field.name) for field in fields(RollupView)}
        return cls(**shown, findings=findings, settled=settled, checks=checks, accept=accept)


@dataclass(frozen=True, slots=True)
class VariantChoice:
    """A variant to choose; the note says what tells it from the others."""

    id: str
    title: str
    note: str = ""
