"""A parts list, price list or table of parts into the catalog: a dry run first, then one transaction, or nothing."""

import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from bomtui.model.fields import field_table
from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.part import PART_KINDS, Part
from bomtui.services.catalog import opened
from bomtui.services.present import counted
from bomtui.services.sheets import CHANGED, KEPT, NEW, SAME, Row, Sheet
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.tabular.answers import EMPTY, Answers, Question
from bomtui.storage.tabular.id_text import made_id
from bomtui.storage.tabular.own_parts import read_any_parts
from bomtui.storage.tabular.part_doubts import part_doubts
from bomtui.storage.tabular.parts import PartRow, PartsResult

if TYPE_CHECKING:
    from bomtui.storage.catalog import Catalog

_KEYS = {info.name: info.key for info in field_table(Part)}
# A spreadsheet keeps 15 digits of a number; what follows becomes 0 (IEEE 754-2019, binary64).
_KEPT_DIGITS = 15
_ORIGIN = "imported"
_TERMS = ("price_date", "price_valid_to", "moq", "multiple")
"""What belongs to a price, and may be another supplier's where only the price is given."""


@dataclass(frozen=True, slots=True)
class PartsImport:
    """The dry run of an import of parts.

    Attributes:
        sheet: What becomes of the list.
        parts: Parts to write, by catalog key.
        seen: What the catalog held of them; None for a new part.
    """

    sheet: Sheet
    parts: dict[str, Part]
    seen: dict[str, Part | None]


def import_parts(
    path: Path,
    answers: Answers = EMPTY,
    *,
    place: str | None = None,
    dry_run: bool = False,
    without_refused: bool = False,
) -> PartsImport:
    """Import parts into the catalog, all of them or nothing.

    A row of a part that the catalog has changes only the fields that the list gives; so a list of prices, or of
    alternates, adds to what is known.

    Args:
        path: The list: a table in the form of the shipped catalog (first header `key`), or any parts or price list.
        answers: What was said of it.
        place: Where the catalog is; None for the usual place.
        dry_run: Whether only to say what would become of it.
        without_refused: Whether to import the rows that were understood although others were refused.

    Returns:
        What became of every row. Where `Sheet.obstacle` says something, nothing was written.

    Raises:
        BomtuiError: The catalog cannot be used.
    """
    result = read_any_parts(path, answers)
    with opened(place) as catalog:
        plan = _Plan(path, answers, result, catalog).run()
        if not dry_run and plan.parts and not plan.sheet.obstacle(without_refused=without_refused):
            made_at = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
            catalog.build(plan.parts, _ORIGIN, path.name, seen=plan.seen, made_at=made_at)
    return plan


@dataclass(slots=True)
class _Draft:
    """What the rows of one part give, and the line of the row that counts."""

    line: int
    mpn: str
    values: dict[str, Any]


class _Plan:
    """One comparison of a list with the catalog."""

    def __init__(self, path: Path, answers: Answers, result: PartsResult, catalog: "Catalog") -> None:
        self._file = str(path)
        self._answers = answers
        self._result = result
        self._catalog = catalog
        self._keys_of_mpn = catalog.keys_of_mpns([row.mpn for row in result.rows if row.mpn and not row.key])
        named = catalog.get_many(key for keys in self._keys_of_mpn.values() for key in keys)
        self._maker_of = {key: part.maker.casefold() for key, part in named.items()}
        self._problems = list(result.problems)
        self._doubts = list(result.doubts)
        self._notices = list(result.notices)
        self._questions = list(result.questions)
        self._rows: list[Row] = []
        self._kept_terms: dict[str, int] = {}

    def run(self) -> PartsImport:
        """Compare every part of the list."""
        drafts = self._drafts()
        there = self._catalog.get_many(drafts)
        parts: dict[str, Part] = {}
        for key, draft in drafts.items():
            part = self._part(key, draft, there.get(key))
            if part is not None:
                parts[key] = part
        for name, count in self._kept_terms.items():
            prices = counted(count, "new price keeps", "new prices keep")
            self._notices.append(f"{prices} the former {_KEYS[name]}, which the list does not give")
        sheet = Sheet(
            file=self._file,
            rows=tuple(self._rows),
            columns=self._result.columns,
            questions=tuple(self._questions),
            problems=in_file_order(self._problems),
            doubts=in_file_order(self._doubts),
            notices=tuple(self._notices),
        )
        return PartsImport(sheet, parts, {key: there.get(key) for key in parts})

    def _drafts(self) -> dict[str, _Draft]:
        """Join the rows of each part under its catalog key."""
        drafts: dict[str, _Draft] = {}
        spelling: dict[str, str] = {}
        for row in self._result.rows:
            key = self._key(row)
            if not key:
                continue
            first = spelling.setdefault(key.casefold(), key)
            draft = drafts.get(first)
            if draft is None:
                drafts[key] = _Draft(row.line, row.mpn, dict(row.values))
            elif draft.mpn != row.mpn or first != key:
                self._problem(row.line, f"the catalog key {first} is that of line {draft.line} already", row.mpn)
            elif draft.values != row.values:
                self._repeated(row, draft)
        return drafts

    def _key(self, row: PartRow) -> str:
        """Return the catalog key of a row: its own, that of its part number, or one made from that; empty for none."""
        if not row.mpn and not row.key:
            self._notices.append(f"line {row.line}: no part number, so it is no part of the catalog")
            return ""
        maker = str(row.values.get("maker", "")).casefold()
        same = () if row.key else self._keys_of_mpn.get(row.mpn, ())
        # Two makers may have one number; a list that names no maker means whoever has it.
        known = [key for key in same if not maker or self._maker_of.get(key, "") in {"", maker}]
        if len(known) > 1:
            self._problem(row.line, f"the catalog has several parts of this number: {', '.join(known)}", row.mpn)
            return ""
        key = row.key or (known[0] if known else made_id(row.mpn))
        if not is_id(key):
            message = f"expected a catalog key of {ID_RULE} in a column part, found none that fits the part number"
            self._problem(row.line, message, row.mpn or row.key)
            return ""
        return key

    def _repeated(self, row: PartRow, draft: _Draft) -> None:
        """Two rows of one part say two things."""
        if self._answers.duplicates == "keep":
            self._notices.append(f"line {row.line}: {row.mpn} stands also in line {draft.line}; that one is taken")
        elif self._answers.duplicates == "replace":
            self._notices.append(f"line {draft.line}: {row.mpn} stands also in line {row.line}; that one is taken")
            draft.line, draft.values = row.line, dict(row.values)
        else:
            self._problem(row.line, f"it says something else of {row.mpn} than line {draft.line}", row.mpn)
            sentence = "some parts stand on several rows that differ; keep the first row of each, or the last?"
            self._ask(Question("duplicates", sentence, choices=("keep", "replace")))

    def _part(self, key: str, draft: _Draft, before: Part | None) -> Part | None:
        """Return what is to be written for a part; None where nothing is."""
        kind = draft.values.get("kind") or (before.kind if before else self._answers.kind)
        if kind not in PART_KINDS:
            sentence = "the list has no column of kinds; what are its parts?"
            self._problem(draft.line, "expected a kind of part, found none", key)
            self._ask(Question("kind", sentence, choices=PART_KINDS))
            return None
        values = {**draft.values, "kind": kind}
        if not self._is_lawful(key, draft, values):
            return None
        self._doubts.extend(Problem(self._file, text, draft.line, field=key) for text in part_doubts(kind, values))
        self._look_for_lost_digits(draft)
        if before is None:
            self._rows.append(Row(draft.line, key, NEW, tuple(_KEYS[name] for name in draft.values)))
            return Part(**values)
        return self._changed(key, draft, before, values)

    def _changed(self, key: str, draft: _Draft, before: Part, values: dict[str, Any]) -> Part | None:
        after = msgspec.structs.replace(before, **values)
        changed = tuple(_KEYS[name] for name in values if getattr(before, name) != getattr(after, name))
        if not changed:
            self._rows.append(Row(draft.line, key, SAME, ()))
        elif self._answers.existing == "keep":
            self._rows.append(Row(draft.line, key, KEPT, changed))
        elif self._answers.existing == "replace":
            self._rows.append(Row(draft.line, key, CHANGED, changed))
            if before.breaks != after.breaks:
                for name in _TERMS:
                    if name not in values and getattr(before, name) is not None:
                        self._kept_terms[name] = self._kept_terms.get(name, 0) + 1
            return after
        else:
            self._problem(draft.line, f"the catalog has this part with another {', '.join(changed)}", key)
            sentence = "some parts are in the catalog with other values; keep those, or replace them?"
            self._ask(Question("existing", sentence, choices=("keep", "replace")))
        return None

    def _is_lawful(self, key: str, draft: _Draft, values: dict[str, Any]) -> bool:
        wrong = [name for name in values.get("alternates", ()) if not is_id(name)]
        if wrong:
            self._problem(draft.line, f"expected catalog keys as alternates, found {wrong[0]}", key)
        return not wrong

    def _look_for_lost_digits(self, draft: _Draft) -> None:
        """Name the part that a long number ending in 0 may have been before a spreadsheet cut it."""
        number = draft.mpn
        if not (number.isdigit() and len(number) >= _KEPT_DIGITS and number.endswith("0")):
            return
        near = [row.mpn for row in self._catalog.find(number[:_KEPT_DIGITS], limit=3).rows if row.mpn != number]
        if near:
            message = f"{number} may have lost its last digits in a spreadsheet; did you mean {near[0]}?"
            self._doubts.append(Problem(self._file, message, draft.line, field=number))

    def _problem(self, line: int, message: str, name: str) -> None:
        self._problems.append(Problem(self._file, message, line, field=name))

    def _ask(self, question: Question) -> None:
        if question not in self._questions:
            self._questions.append(question)
