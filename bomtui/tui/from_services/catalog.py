"""The catalog as the screens ask for it and keep it."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.services import catalog, catalog_upkeep
from bomtui.services.catalog import FoundPart, Wish
from bomtui.services.catalog_query import PRICE, limit_of, names, order_of
from bomtui.services.catalog_relations import Replacement, Use, replacements_of, uses_of
from bomtui.services.errors import BomtuiError
from bomtui.services.part_draft import PartDraft, PartField, draft_of, fields_of_part, write_draft
from bomtui.services.part_words import kind_words
from bomtui.services.present import counted
from bomtui.services.recent import recent_files
from bomtui.services.refresh import FieldChange
from bomtui.tui.catalog import (
    CatalogLine,
    CatalogOutcome,
    CatalogPage,
    ComparedField,
    DoubleLine,
    HistoryStep,
    OtherPart,
    PartView,
    PastStep,
    SideBySide,
    UsedIn,
)
from bomtui.tui.field_view import FieldChoice
from bomtui.tui.marks import Mark
from bomtui.tui.report import Refused, ReportColumn

if TYPE_CHECKING:
    from bomtui.services.catalog_upkeep import PastChange

FIRST_ROWS = 100
PAGE_ROWS = 200
"""Rows of the first page, which is asked for with every letter that is typed, and of the pages behind it."""
HISTORY_ROWS = 200
UNKNOWN = "unknown"
LIFE_MARKS: dict[str, Mark] = {
    "preview": "note",
    "active": "ok",
    "nrnd": "check",
    "lasttime": "check",
    "obsolete": "over",
    "": "unknown",
}
FIRST_ORDERS = (PRICE, "mpn", "maker", "kind", "life_cycle", "key")
"""What people ask for first when they order a list."""
TAKES_BACK = "The catalog's own history takes it back (h in the list)."
_WIDEST_WORDS = 28


def shown_of(kind: str | None) -> tuple[str, ...]:
    """Return what tells the parts of a kind from each other, beside their price."""
    if kind is None:
        return ()
    if kind in DRIVER_KINDS:
        return ("channels", "rds_on.max")
    if kind.startswith("transceiver"):
        return ("ports", "standby_current.max")
    return {
        "controller": ("gpio_pins", "can_ports"),
        "fet": ("drain_source", "rds_on.max"),
        "sbc": ("output", "output_current"),
        "ldo": ("output", "output_current"),
        "dcdc": ("output", "output_current"),
        "connector": ("ways",),
    }.get(kind, ())


class ServicesCatalog:
    """The catalog of the person, or of a team.

    Args:
        place: Where it is; None for the usual place.
        settings_folder: Folder that remembers which proposals were opened; None for the person's own.
    """

    def __init__(self, place: str | None = None, settings_folder: Path | None = None) -> None:
        self._place = place
        self._settings_folder = settings_folder
        self.wish: Wish | None = None

    @property
    def name(self) -> str:
        """What may be shown of where it is."""
        return catalog.catalog_name(self._place)

    def page(self, wish: Wish, after: object | None = None) -> CatalogPage | Refused:
        """One page of the parts that are looked for."""
        try:
            rows = FIRST_ROWS if after is None else PAGE_ROWS
            found = catalog.find(_with_shown(wish), rows, after, self._place)  # type: ignore[arg-type]
        except BomtuiError as error:
            return _refused(error)
        asked = tuple(name for name, _ in found.parts[0].asked) if found.parts else ()
        lines = tuple(_line(own, wish) for own in found.parts)
        return CatalogPage(_columns(asked, wish), lines, found.after, found.remark)

    def problem(self, wish: Wish) -> str:
        """Why a wish cannot be read."""
        try:
            for text in wish.where:
                limit_of(text, wish.quantity)
            if wish.sort:
                order_of(wish.sort, wish.quantity, wish.currency)
        except BomtuiError as error:
            return _sentence(error)
        return ""

    def orders(self, kind: str | None) -> tuple[FieldChoice, ...]:
        """What a list of a kind may be ordered by."""
        known = names()
        first = [name for name in (*FIRST_ORDERS, *shown_of(kind)) if name == PRICE or name in known]
        rest = sorted(name for name in known if name not in first)
        helps = {PRICE: "price of one piece at the order"}
        return tuple(
            FieldChoice(name, name, helps[name] if name in helps else known[name].info.help) for name in (*first, *rest)
        )

    def part(self, key: str) -> PartView | Refused:
        """Everything known of a part."""
        try:
            shown = catalog.show(key, self._place)
            past = catalog_upkeep.part_history(key, self._place)
            others = tuple(map(_other, replacements_of(key, self._place))) if shown.part.alternates else ()
        except BomtuiError as error:
            return _refused(error)
        history = tuple(map(_past, past))
        return _view(key, shown.part, shown.origin, others, history, shown.part)

    def uses(self, key: str) -> tuple[UsedIn, ...] | Refused:
        """The proposals that were opened lately, and where a part stands in them."""
        paths = [Path(own.path) for own in recent_files(self._settings_folder)]
        try:
            return tuple(_used(own, key) for own in uses_of(key, paths, self._place))
        except BomtuiError as error:
            return _refused(error)

    def new_part(self, key: str, kind: str) -> PartView | Refused:
        """A part that is not there yet."""
        try:
            if catalog.parts_of_keys((key,), self._place):
                return Refused(f"The catalog has a part '{key}' already.")
            draft = draft_of(key, None, {}, kind)
        except BomtuiError as error:
            return _refused(error)
        return _view(key, draft.after, "", (), (), None)

    def draft(self, view: PartView, texts: Mapping[str, str]) -> PartDraft | Refused:
        """What a part would be with other texts in some fields."""
        try:
            return draft_of(view.key, view.seen, texts, view.kind)
        except BomtuiError as error:
            return _refused(error)

    def write(self, draft: PartDraft) -> CatalogOutcome:
        """Write a change as one step."""
        try:
            write_draft(draft, self._place)
        except BomtuiError as error:
            return CatalogOutcome("refused", _sentence(error))
        done = "added" if draft.before is None else f"{counted(len(draft.changes), 'field', 'fields')} changed"
        return CatalogOutcome("done", f"Written: {draft.key}, {done}. {TAKES_BACK}")

    def remove(self, view: PartView) -> CatalogOutcome:
        """Take a part out as one step."""
        if view.seen is None:
            return CatalogOutcome("refused", f"{view.key} is not in the catalog yet.")
        try:
            catalog_upkeep.take_out((view.key,), self._place, {view.key: view.seen})
        except BomtuiError as error:
            return CatalogOutcome("refused", _sentence(error))
        return CatalogOutcome("done", f"Taken out: {view.key}. {TAKES_BACK}")

    def side_by_side(self, keys: tuple[str, ...]) -> SideBySide | Refused:
        """Several parts, field by field."""
        try:
            there = catalog.parts_of_keys(keys, self._place)
        except BomtuiError as error:
            return _refused(error)
        missing = [key for key in keys if key not in there]
        if missing:
            return Refused(f"The catalog has no part '{missing[0]}' any more.")
        return SideBySide(keys, compared([there[key] for key in keys]))

    def history(self) -> tuple[HistoryStep, ...] | Refused:
        """The last steps in which people changed parts."""
        try:
            steps = catalog_upkeep.history(HISTORY_ROWS, self._place)
        except BomtuiError as error:
            return _refused(error)
        return tuple(HistoryStep(own.id, own.made_at, own.label, own.parts, own.undone) for own in steps)

    def undo(self, step_id: int) -> CatalogOutcome:
        """Take the last step back, if it is still that one."""
        try:
            label = catalog_upkeep.undo(self._place, step_id)
        except BomtuiError as error:
            return CatalogOutcome("refused", _sentence(error))
        return CatalogOutcome("done", f"Taken back in the catalog: {label}.")

    def doubles(self) -> tuple[DoubleLine, ...] | Refused:
        """Parts whose numbers differ only in how they are written."""
        try:
            found = catalog_upkeep.doubles(self._place)
        except BomtuiError as error:
            return _refused(error)
        return tuple(
            DoubleLine(own.number, key, mpn, ", ".join(own.makers))
            for own in found
            for key, mpn in zip(own.keys, own.mpns, strict=True)
        )


def compared(parts: list[Part]) -> tuple[ComparedField, ...]:
    """Return the fields of which one of the parts says something, those that differ first."""
    tables: list[dict[str, PartField]] = [{own.key: own for own in fields_of_part(part)} for part in parts]
    known: dict[str, PartField] = {}
    for table in tables:
        known |= table
    rows = []
    for key, own in known.items():
        texts = tuple(table[key].shown if key in table else "" for table in tables)
        if any(texts):
            rows.append(ComparedField(key, texts, len(set(texts)) > 1, own.help))
    return tuple(sorted(rows, key=lambda row: not row.differs))


def _with_shown(wish: Wish) -> Wish:
    return Wish(
        wish.text, wish.kind, wish.where, wish.sort, wish.quantity, wish.currency, (PRICE, *shown_of(wish.kind))
    )


def _columns(asked: tuple[str, ...], wish: Wish) -> tuple[ReportColumn, ...]:
    price = ReportColumn("Price", f"{wish.currency} at {wish.quantity}", "right")
    named = [price if name == PRICE else ReportColumn(name, "", "right", 18) for name in asked]
    kind = () if wish.kind else (ReportColumn("Kind", max_width=_WIDEST_WORDS),)
    return (
        ReportColumn("Part", max_width=34),
        *named,
        *kind,
        ReportColumn("Number", max_width=24),
        ReportColumn("Maker", max_width=_WIDEST_WORDS),
        ReportColumn("Description", max_width=60),
        ReportColumn("Origin"),
    )


def _line(own: FoundPart, wish: Wish) -> CatalogLine:
    asked = tuple(_price(text, wish.currency) if name == PRICE else text or UNKNOWN for name, text in own.asked)
    kind = () if wish.kind else (kind_words(own.kind),)
    named = " ".join(filter(None, (own.maker, own.mpn)))
    return CatalogLine(
        own.key,
        (own.key, *asked, *kind, own.mpn, own.maker, own.description, own.origin),
        LIFE_MARKS.get(own.life_cycle, "unknown"),
        own.life_cycle or UNKNOWN,
        "; ".join(filter(None, (own.key, kind_words(own.kind), named, own.description))),
    )


def _price(text: str, currency: str) -> str:
    """A price without the currency of its column; in another one with it."""
    amount, _, own = text.partition(" ")
    return UNKNOWN if not text else amount if own == currency else text


def _view(
    key: str,
    part: Part,
    origin: str,
    others: tuple[OtherPart, ...],
    history: tuple[PastStep, ...],
    seen: Part | None,
) -> PartView:
    rungs = tuple(f"from {rung.quantity}: {rung.price} {part.currency or 'unknown currency'}" for rung in part.breaks)
    return PartView(key, part.kind, origin, fields_of_part(part), rungs, others, history, seen)


def change_lines(changes: Iterable[FieldChange]) -> Iterator[str]:
    """Return changed fields as sentences."""
    for change in changes:
        yield f"{change.field}: {change.before or UNKNOWN} -> {change.now or UNKNOWN}"


def _past(own: "PastChange") -> PastStep:
    title = f"{own.made_at or 'at an unknown time'}: {own.label}"
    lines = ("the part was new",) if own.is_new else tuple(change_lines(own.changes))
    return PastStep(title, lines)


def _note(part: Part) -> str:
    life = part.life_cycle or "life cycle unknown"
    return ", ".join(filter(None, (part.description, life)))


def _other(own: Replacement) -> OtherPart:
    note = "not in this catalog" if own.part is None else _note(own.part)
    return OtherPart(own.key, note if own.steps == 1 else f"{note}; by {own.via}")


def _used(own: Use, key: str) -> UsedIn:
    title = f"{own.title or own.path.stem} ({own.path})"
    if own.fault:
        return UsedIn(title, (own.fault,), "unknown", "not read")
    lines = [f"{variant}: {', '.join(places)}" for variant, places in own.places]
    lines += [
        f"{change.field}: {change.before or UNKNOWN} there, {change.now or UNKNOWN} here" for change in own.changes
    ]
    if own.changes:
        return UsedIn(title, tuple(lines), "check", "other data")
    if own.places or own.is_frozen:
        return UsedIn(title, tuple(lines) or (f"{key} is kept, and no variant uses it",), "ok", "the same")
    return UsedIn(title, (), "", "not used")


def _sentence(error: BomtuiError) -> str:
    """What is wrong, in one sentence; of several faults the first, and how many more there are."""
    if not error.problems:
        text = str(error)
        return f"{text[:1].upper()}{text[1:]}."
    first, *others = error.problems
    more = f" (and {len(others)} more)" if others else ""
    return f"{first.field}: {first.message}{more}."


def _refused(error: BomtuiError) -> Refused:
    return Refused(_sentence(error))
