"""A view as rows of the sheet: plain data, no screen library."""

from dataclasses import dataclass, field, replace
from typing import Literal

from bomtui.tui.from_services.names import NETWORK, UNPLACED
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.text import fit, width_of
from bomtui.tui.view import CHECKING, Details, Place, RollupView
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

TreeKind = Literal["modules", "subsystems"]
OTHER_TREE: dict[TreeKind, TreeKind] = {"modules": "subsystems", "subsystems": "modules"}

STATE = "State".ljust(len(CHECKING))
"""Title of the states; as wide as what stands in its place while figures are checked, so that no column moves."""
VEHICLE_KEY = ""
EMPTY_KEY = "\x1e"
NO_VARIANT_YET = "No variant yet: v lists the variants, and a begins one there."
NOTHING_YET: dict[TreeKind, str] = {
    "modules": "No modules in this variant yet: a adds one.",
    "subsystems": "No subsystems yet: a adds one.",
}
_INSIDE = "\x1f"
LONGEST_LABEL = 34
"""Cells of a label behind which the values of details line up."""
WIDEST_LABELS = 0.6
"""Share of the width that the labels have where it is narrow; a longer label has a line of its own length."""
MOST_FINDINGS = 6
"""Findings that stand above the figures of a place; more would push these out of sight."""


LOAD_CURRENT = "load_current"
CELLS = {
    LOAD_CURRENT: Column("Load", "A", align="right", min_width=6),
    "parts_cost": Column("Parts", align="right"),
    "channels": Column("Channels", align="right"),
    "pins": Column("Pins", align="right", min_width=7),
    "standby": Column("Standby", "uA", align="right"),
    "cost": Column("Cost", align="right"),
    "findings": Column("Findings", align="right"),
}
"""Column of each cell of a place; that of money gets its unit from the proposal."""
MONEY = frozenset({"parts_cost", "cost"})
SHOWN: dict[TreeKind, tuple[str, ...]] = {
    "modules": tuple(CELLS),
    "subsystems": (LOAD_CURRENT, "cost", "findings"),
}
"""Cells of each tree, the most wanted first."""
TITLES: dict[TreeKind, str] = {"modules": "Modules", "subsystems": "Subsystems"}


def _column(cell: str, currency: str) -> Column:
    return replace(CELLS[cell], unit=currency) if cell in MONEY else CELLS[cell]


def sheet_columns(tree: TreeKind, currency: str) -> tuple[Column, ...]:
    """Columns of the sheet; the units stand here and nowhere else."""
    return (Column(TITLES[tree], max_width=56), *(_column(cell, currency) for cell in SHOWN[tree]))


@dataclass(frozen=True, slots=True)
class Branch:
    """The rows of one outermost place and of all that is inside it.

    Attributes:
        place: The outermost place.
        rows: Its row, and those inside it.
        places: Place of each row.
        first_keys: Key of the first row that shows an address.
    """

    place: Place
    rows: tuple[Row, ...]
    places: dict[str, Place]
    first_keys: dict[str, str]


@dataclass(frozen=True, slots=True)
class Tree:
    """The sheet's rows, and what stands behind them.

    Attributes:
        kind: What the outermost rows are.
        rows: The whole vehicle first, then one row per place.
        places: Place of each row.
        first_keys: Key of the first row that shows an address.
        branches: What it is made of, by the outermost key.
    """

    kind: TreeKind
    rows: tuple[Row, ...] = ()
    places: dict[str, Place] = field(default_factory=dict)
    first_keys: dict[str, str] = field(default_factory=dict)
    branches: dict[str, Branch] = field(default_factory=dict)


def build_tree(view: RollupView, kind: TreeKind, former: Tree | None = None) -> Tree:
    """Rows of a view, by modules or by subsystems.

    Args:
        view: The view.
        kind: What the outermost rows are.
        former: A tree of a former view; the rows of places that are the very same objects are kept.
    """
    kept = former.branches if former is not None and former.kind == kind else {}
    outermost = view.modules if kind == "modules" else view.subsystems()
    wanted = {VEHICLE_KEY: view.vehicle, **{_INSIDE + place.address: place for place in outermost}}
    branches = {key: _branch(place, key, kind, kept.get(key)) for key, place in wanted.items()}
    rows = [row for branch in branches.values() for row in branch.rows]
    if all(place.address.startswith((UNPLACED, NETWORK)) for place in outermost):
        needs_variant = kind == "modules" and not view.heading.variant
        # Behind the vehicle, and in front of the loads that wait for a module.
        rows.insert(1, Row(EMPTY_KEY, 0, (NO_VARIANT_YET if needs_variant else NOTHING_YET[kind],)))
    places: dict[str, Place] = {}
    first_keys: dict[str, str] = {}
    # From the last one on: where several branches show an address, the first one counts.
    for branch in reversed(branches.values()):
        places |= branch.places
        first_keys |= branch.first_keys
    return Tree(kind, tuple(rows), places, first_keys, branches)


def _branch(outermost: Place, outermost_key: str, kind: TreeKind, kept: Branch | None) -> Branch:
    if kept is not None and kept.place is outermost:
        return kept
    if kept is not None and kept.place.children is outermost.children:
        rows = (_row(outermost, 0, outermost_key, kind), *kept.rows[1:])
        return Branch(outermost, rows, {**kept.places, outermost_key: outermost}, kept.first_keys)
    branch = Branch(outermost, (), {}, {})
    built: list[Row] = []

    def add(place: Place, depth: int, key: str) -> None:
        while key in branch.places:
            # One load on two channels of one device stands there twice.
            key += "'"
        branch.places[key] = place
        branch.first_keys.setdefault(place.address, key)
        built.append(_row(place, depth, key, kind))
        for child in place.children:
            add(child, depth + 1, f"{key}{_INSIDE}{child.address}")

    add(outermost, 0, outermost_key)
    return replace(branch, rows=tuple(built))


def _row(place: Place, depth: int, key: str, kind: TreeKind) -> Row:
    cells = (place.title, *(getattr(place.cells, cell) for cell in SHOWN[kind]))
    return Row(key, depth, cells, bool(place.children), place.mark, place.word)


def key_of(tree: Tree, address: str) -> str | None:
    """Key of the row of an address, or of the place that it is in; None if nothing of it is shown."""
    while address:
        key = tree.first_keys.get(address)
        if key is not None:
            return key
        address = address.rpartition(".")[0]
    return None


def outermost_key(key: str) -> str:
    """Key of the outermost row that a row stands in; its own where it is one."""
    return _INSIDE + key.split(_INSIDE)[1] if key.startswith(_INSIDE) else key


def being_checked(place: Place) -> Place:
    """The place without what may be said of it only once its figures are checked."""
    return replace(place, word=CHECKING, cells=replace(place.cells, findings=""))


def status_text(place: Place, currency: str, width: int, mode: str = "") -> str:
    """A row in words, for the eye that lost the column and for those who have it read out.

    What does not fit is left out as a whole, for half a number is a wrong number.

    Args:
        place: The place.
        currency: Currency of the proposal.
        width: Cells.
        mode: Id of the mode that the load current is from; empty for none.
    """
    pieces = [place.word] if place.word else []
    for cell in CELLS:
        text, column = getattr(place.cells, cell), _column(cell, currency)
        if text:
            where = f" in {mode}" if mode and cell == LOAD_CURRENT else ""
            pieces.append(f"{column.title.lower()} {text} {column.unit}".rstrip() + where)
    line = place.title
    for piece in pieces:
        if width_of(line) + 2 + width_of(piece) <= width:
            line += ("; " if line == place.title else ", ") + piece
    return line


def detail_lines(details: Details, glyphs: Glyphs, width: int) -> list[tuple[str, str]]:
    """Everything known of a place as text, the numbers aligned under each other as far as a width allows."""
    lines: list[tuple[str, str]] = [(details.title, "strong")]
    if details.findings is None:
        lines.append((CHECKING, "quiet"))
    findings = details.findings or ()
    for finding in findings[:MOST_FINDINGS]:
        state = glyphs.state(finding.mark, finding.word)
        lines.append((f"{state}  {finding.place}: {finding.message}", finding.mark))
    if len(findings) > MOST_FINDINGS:
        lines.append((f"and {len(findings) - MOST_FINDINGS} more findings here: l lists all", "quiet"))
    lines.append(("", ""))
    longest = max((width_of(figure.title) for figure in details.figures), default=0)
    label_width = min(LONGEST_LABEL, int(width * WIDEST_LABELS), longest)
    for figure in details.figures:
        state = glyphs.state(figure.mark, figure.word)
        label = fit(figure.title, max(label_width, width_of(figure.title)))
        text = f"{label}  {figure.text}"
        lines.append((f"{text}   {state}" if state else text, figure.mark))
    if details.notes:
        lines += [("", ""), *((note, "quiet") for note in details.notes)]
    return lines
