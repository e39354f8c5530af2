"""The failures of a variant as tables: CSV that spreadsheets open, and a Markdown page.

One row per cause and load. A cause that takes nothing with it has one row without a load.
"""

from collections.abc import Iterator

from bomtui.export.csv import ABOUT, Cell, csv_bytes
from bomtui.export.facts import heading_facts
from bomtui.export.failures_record import CommonRecord, EffectRecord, FailuresRecord
from bomtui.export.markdown import escaped

COLUMNS = ("kind", "cause", "part", "load", "is", "state", "level", "stand_in", "stand_in_state")


def failures_csv(record: FailuresRecord) -> bytes:
    """Write the failures as CSV in UTF-8; rows whose `kind` is `about` are no causes."""
    about = (f"{label}: {text}" for label, text in (*heading_facts(record), *_ending(record)))
    return csv_bytes([COLUMNS, *(row for effect in record.causes for row in rows_of(effect)), *map(_about_row, about)])


def failures_markdown(record: FailuresRecord) -> bytes:
    """Write the failures as a Markdown page in UTF-8."""
    facts = [(label, text) for label, text in heading_facts(record) if label not in {"title", "caution"}]
    rows = [[escaped(str(cell)) for cell in row] for effect in record.causes for row in rows_of(effect)]
    lines = [
        f"# {escaped(record.title)}",
        "",
        *(f"- {label}: {escaped(text)}" for label, text in facts),
        "",
        _table_row([escaped(column) for column in COLUMNS]),
        _table_row(["---"] * len(COLUMNS)),
        *map(_table_row, rows),
        "",
        "## Causes that a load shares with its stand-in",
        "",
        *(f"- {escaped(common_text(own))}" for own in record.common_causes),
        "",
        f"{escaped(record.stand_in_caution)}",
        "",
        "## Not known",
        "",
        *(f"- {escaped(f'{label}: {text}')}" for label, text in not_known_facts(record)),
        "",
        *(f"> {escaped(caution)}\n>" for caution in record.cautions[:-1]),
        *(f"> {escaped(caution)}" for caution in record.cautions[-1:]),
    ]
    return ("\n".join(lines) + "\n").encode()


def common_text(own: CommonRecord) -> str:
    """Say what a load has in common with its stand-in."""
    shared = ", ".join(f"{cause.kind} {cause.id}" for cause in own.shared) or "nothing that is known"
    text = f"{own.primary}, stand-in {own.stand_in}: {shared}"
    if own.possible:
        text += f"; perhaps {', '.join(f'{cause.kind} {cause.id}' for cause in own.possible)}"
    return f"{text}; not known: {', '.join(own.unknown)}" if own.unknown else text


def rows_of(effect: EffectRecord) -> Iterator[tuple[Cell, ...]]:
    """Yield the rows of a cause, one per load that it takes with it."""
    start = (effect.kind, effect.id, effect.part)
    level_of = {
        load_id: level
        for levels in (effect.lost_by_level, effect.possible_by_level)
        for level, loads in levels.items()
        for load_id in loads
    }
    stand_ins = {own.primary: own for own in effect.stand_ins}
    groups = (
        ("output", "lost", effect.outputs),
        ("input", "lost", effect.inputs),
        ("output", "unknown", effect.possible_outputs),
        ("input", "unknown", effect.possible_inputs),
    )
    if not level_of:
        yield (*start, "", "", "nothing lost", "", "", "")
    for what, state, loads in groups:
        for load_id in loads:
            own = stand_ins.get(load_id)
            other = ("", "") if own is None else (own.stand_in, own.state)
            yield (*start, load_id, what, state, level_of[load_id], *other)


def _about_row(text: str) -> tuple[Cell, ...]:
    return (ABOUT, text, *("" for _ in COLUMNS[2:]))


def _ending(record: FailuresRecord) -> list[tuple[str, str]]:
    common = [("common causes", common_text(own)) for own in record.common_causes]
    return [*common, ("stand-ins", record.stand_in_caution), *not_known_facts(record)]


def not_known_facts(record: FailuresRecord) -> list[tuple[str, str]]:
    """Return label and text of what the proposal does not say, so that the walk cannot follow it."""
    unknown = record.not_known
    named = (
        ("modules of which no feed is named", unknown.modules_without_feed),
        ("feeds of which no ground point is named", unknown.feeds_without_ground),
        ("loads that no module serves", unknown.loads_not_served),
        ("loads whose battery side is fed from somewhere else", unknown.loads_fed_elsewhere),
    )
    found = [(label, " ".join(ids)) for label, ids in named if ids]
    count = str(unknown.loads_without_command_network)
    return [*found, ("loads that name no network for their command", count)]


def _table_row(cells: list[str]) -> str:
    return f"| {' | '.join(cells)} |"
