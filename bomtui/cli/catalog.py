"""`bomtui catalog`: build, fill, search, show and keep the catalog of parts."""

import argparse
import dataclasses
from collections.abc import Iterator
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, chosen_format
from bomtui.cli.catalog_upkeep import add_verbs
from bomtui.cli.diagnostics import ExitCode, UsageFault
from bomtui.cli.layout import GAP, Column, padded, table, wrapped
from bomtui.cli.sheet_arguments import add_answers, add_ways, answers_from, report_import
from bomtui.model.part import PART_KINDS
from bomtui.model.plain_text import clean, columns_of, is_writable
from bomtui.services import catalog
from bomtui.services.artefact import as_json
from bomtui.services.catalog_import import import_parts
from bomtui.services.catalog_relations import Replacement, Use, replacements_of, uses_of
from bomtui.services.recent import recent_files

_MOST = 1_000_000_000
"""Rows and pieces up to which they are counted."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB")
    build = verbs.add_parser("build", help="bring the shipped parts up to date; imported and edited ones stay")
    build.add_argument(
        "--migrate",
        action="store_true",
        help="bring an older database of a server to this program's version; older programs cannot use it after that",
    )
    add_output(build, TEXT, JSON)
    build.set_defaults(act=_build)
    importing = verbs.add_parser("import", help="import parts or prices (CSV, TSV, XLSX, ODS, XLS), all or nothing")
    importing.add_argument("list", type=Path, metavar="LIST", help="parts list, price list or table of parts")
    add_answers(importing, ("ids", "id_prefix", "pieces", "subsystem"))
    add_ways(importing)
    add_output(importing, TEXT, JSON)
    importing.set_defaults(act=None)
    find = verbs.add_parser("find", help="find parts by fragments of key, part number, maker, kind or description")
    find.add_argument("words", nargs="*", metavar="WORD", help="all of them occur in the part; none: every part")
    find.add_argument("--kind", choices=PART_KINDS, metavar="KIND", help="only parts of this kind")
    find.add_argument(
        "--where",
        action="append",
        default=[],
        metavar="FILTER",
        help="only parts that keep it, as 'channels >= 8', 'rds_on.max <= 10 mohm', 'price <= 1.20 EUR'; repeatable",
    )
    find.add_argument("--sort", default="", metavar="NAME", help="order by this, as rds_on or price")
    find.add_argument("--descending", action="store_true", help="order the largest first")
    find.add_argument("--at", type=_positive, default=1, metavar="N", help="read prices at an order of so many pieces")
    find.add_argument(
        "--currency", default="EUR", metavar="CODE", help="currency in which prices are ordered; default: EUR"
    )
    find.add_argument("--limit", type=_positive, default=catalog.PAGE_ROWS, metavar="N", help="rows at most")
    find.add_argument("--after", metavar="KEY", help="the page after the one that ends with this part")
    add_output(find, TEXT, JSON)
    find.set_defaults(act=_find)
    show = verbs.add_parser("show", help="show every field of a part, and the parts that can replace it")
    show.add_argument("key", metavar="KEY", help="catalog key")
    add_output(show, TEXT, JSON)
    show.set_defaults(act=_show)
    uses = verbs.add_parser("uses", help="proposals in which a part is used, and whether their copy is another")
    uses.add_argument("key", metavar="KEY", help="catalog key")
    uses.add_argument("proposals", nargs="*", type=Path, metavar="PROPOSAL", help="none: those opened last")
    add_output(uses, TEXT, JSON)
    uses.set_defaults(act=_uses)
    add_verbs(verbs)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Build, import, search or show."""
    chosen = chosen_format(arguments)
    _check_words(arguments)
    if arguments.act is None:
        return _import(arguments, chosen)
    text, record = arguments.act(arguments)
    if chosen == JSON:
        output.write(as_json({"format": 1, **record}), arguments.output)
    else:
        output.write_text(text, arguments.output)
    return ExitCode.FINE


def _import(arguments: argparse.Namespace, chosen: str) -> ExitCode:
    plan = import_parts(
        arguments.list,
        answers_from(arguments),
        dry_run=arguments.dry_run,
        without_refused=arguments.without_refused,
    )
    return report_import(arguments, plan.sheet, "part", catalog.catalog_name(), chosen, changes=bool(plan.parts))


def _check_words(arguments: argparse.Namespace) -> None:
    """Refuse words that no catalog can hold: bytes that are not UTF-8 arrive as halves of signs."""
    for value in vars(arguments).values():
        for word in value if isinstance(value, list) else [value]:
            if isinstance(word, str) and not is_writable(word):
                raise UsageFault(f"expected words in UTF-8, found {clean(word)}")


def _positive(text: str) -> int:
    number = int(text)
    if not 0 < number <= _MOST:
        raise argparse.ArgumentTypeError(f"expected a number from 1 to {_MOST}, found {text}")
    return number


def _build(arguments: argparse.Namespace) -> tuple[str, dict[str, object]]:
    result = catalog.build(team_agrees=arguments.migrate)
    text = (
        f"{clean(result.catalog)}: {result.parts} parts\n"
        f"  shipped parts: {result.added} added, {result.replaced} replaced, {result.unchanged} unchanged, "
        f"{result.removed} removed\n"
        f"  {result.kept} imported or edited parts left alone where a shipped one has the same key\n"
    )
    if result.copy:
        text += f"  its tables were brought to this program's version; as it was it is kept in {clean(result.copy)}\n"
    return text, dataclasses.asdict(result)


def _find(arguments: argparse.Namespace) -> tuple[str, dict[str, object]]:
    wish = catalog.Wish(
        text=" ".join(arguments.words),
        kind=arguments.kind,
        where=tuple(arguments.where),
        sort=f"-{arguments.sort}" if arguments.sort and arguments.descending else arguments.sort,
        quantity=arguments.at,
        currency=arguments.currency,
    )
    found = catalog.find(wish, arguments.limit, arguments.after)
    columns = (
        Column("key", whole=True),
        Column("mpn", whole=True),
        Column("kind"),
        Column("maker"),
        Column("description"),
        *(Column(name, whole=True) for name, _ in (found.parts[0].asked if found.parts else ())),
        Column("origin"),
    )
    rows = [
        [part.key, part.mpn, part.kind, part.maker, part.description, *(text for _, text in part.asked), part.origin]
        for part in found.parts
    ]
    lines = table(columns, rows, 0) if rows else ["no part holds all of these words, or keeps every filter"]
    if found.more:
        last = found.parts[-1].key
        lines += wrapped(f"there are more parts: another word says which, --after {last} shows the next")
    lines += wrapped(found.remark) if found.remark else []
    return "\n".join(lines) + "\n", {"parts": found.parts, "more": found.more, "remark": found.remark}


def _show(arguments: argparse.Namespace) -> tuple[str, dict[str, object]]:
    shown = catalog.show(arguments.key)
    width = max(columns_of(key) for key, _ in shown.fields) + GAP
    lines = [f"{shown.key} ({shown.origin})"]
    for key, text in shown.fields:
        lines.extend(wrapped(padded(key, width) + text, GAP, GAP + width))
    replacements = replacements_of(arguments.key)
    if replacements:
        lines.append("parts that can replace it")
    for own in replacements:
        lines += wrapped(_replacement(own, arguments.key), GAP, 2 * GAP)
    record = {"key": shown.key, "origin": shown.origin, "part": shown.part, "replacements": replacements}
    return "\n".join(lines) + "\n", record


def _replacement(own: Replacement, key: str) -> str:
    via = "" if own.via == key else f", named by {own.via}"
    if own.part is None:
        return f"{own.key}: the catalog does not have it{via}"
    maker = own.part.maker or "maker unknown"
    return f"{own.key}: {maker}, {own.part.life_cycle or 'life cycle unknown'}{via}"


def _uses(arguments: argparse.Namespace) -> tuple[str, dict[str, object]]:
    proposals = arguments.proposals or [Path(entry.path) for entry in recent_files()]
    uses = uses_of(arguments.key, proposals)
    lines = [] if uses else wrapped("name proposals: none was opened yet")
    for own in uses:
        lines += wrapped(clean(f"{own.path}: {own.title}" if own.title else str(own.path)), 0, GAP)
        lines += [line for text in _use(own) for line in wrapped(text, GAP, 2 * GAP)]
    return "\n".join(lines) + "\n", {"key": arguments.key, "uses": [_use_record(own) for own in uses]}


def _use(own: Use) -> Iterator[str]:
    if own.fault:
        yield own.fault
        return
    for variant, places in own.places:
        yield f"variant {variant}: {', '.join(places)}"
    if not own.is_frozen:
        yield "not used"
        return
    if not own.places:
        yield "frozen, and used in no variant"
    if own.changes:
        changed = ", ".join(change.field for change in own.changes)
        yield f"the catalog says something else by now: {changed}; see 'bomtui parts refresh'"


def _use_record(own: Use) -> dict[str, object]:
    return {
        "proposal": str(own.path),
        "title": own.title,
        "variants": dict(own.places),
        "frozen": own.is_frozen,
        "changes": own.changes,
        "fault": own.fault,
    }
