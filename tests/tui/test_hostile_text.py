"""Text that means harm is shown as text, wherever it stands."""

import unicodedata
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any, cast

import pytest
from msgspec.structs import replace as replace_struct
from textual.app import App
from textual.pilot import Pilot
from textual.widgets import Input

from bomtui.tui.app import BomtuiApp
from bomtui.tui.candidates import Candidate
from bomtui.tui.field_view import FieldChoice, FieldHelp, FieldsView
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.fields.screen import FieldsScreen
from bomtui.tui.screens.lists.screen import ListsScreen
from bomtui.tui.screens.variants.screen import VariantsScreen
from bomtui.tui.view import (
    CheckedView,
    Details,
    DiagramView,
    Explanation,
    FailuresView,
    Place,
    VariantChoice,
    WriteOutcome,
)
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.text_pane import TextPane
from bomtui.tui.workplace import Entry, Refusal
from tests.tui.driving import (
    LARGE,
    app_with,
    check_comes_true,
    check_seen,
    check_sheet_up,
    screen_text,
    sheet_of,
    working_screen,
)
from tests.tui.fake import FINDINGS, FakeProposal, FakeWorkplace, rollup_view
from tests.tui.screens.test_options_screen import small_proposal

PAYLOADS = {
    "closing tag": "[/]",
    "wrong tag": "a[/red]b",
    "style": "[bold]X[/bold]",
    "action": "[@click=app.quit]X[/]",
    "odd brackets": "[type=x, v={'a[0]'}] R[12]",
    "colour": "\x1b[31mX",
    "title": "\x1b]0;OWNED\x07X",
    "one-byte controls": "\x9b31mX\x9d0;OWNED\x9c",
    "bidi": "\u202eX\u2066Y",
    "hidden": "\u200bX\u200d\ufeffY\u00ad",
    "selectors": "⚡\ufe0f⚡\ufe0e",
    "line ends": "X\r\nY\tZ\u2028W",
    "lone surrogate": "X\udc80",
    "stacked marks": "e" + "\u0301" * 99,
    "wide": "車両" * 30,
    "very long": "X" * 100_000,
}
TOGETHER = {
    "all": " ".join(payload for payload in PAYLOADS.values() if len(payload) < 30),
    "wide": PAYLOADS["wide"],
    "very long": PAYLOADS["very long"],
}
TOGETHER_PARAMETERS = [
    pytest.param(payload, id=name, marks=() if name == "all" else pytest.mark.slow)
    for name, payload in TOGETHER.items()
]
VISIBLE_START = 12
"""Characters of a payload that every place has room for."""
# Structure of the fakes, not text from a file.
KEPT_FIELDS = frozenset(
    {"kind", "key", "address", "mark", "name", "variant", "id", "path", "state", "parts_list_path", "package_path"}
)


def poisoned(value: Any, payload: str, field: str = "") -> Any:  # noqa: ANN401 - any part of a view
    """The value with the payload before every text that may come from a file."""
    if isinstance(value, str):
        return value if field in KEPT_FIELDS or not value else f"{payload} {value}"
    if isinstance(value, tuple):
        return tuple(poisoned(item, payload, field) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        changes = {part.name: poisoned(getattr(value, part.name), payload, part.name) for part in fields(value)}
        return replace(value, **changes)
    return value


def poisoned_view(payload: str) -> CheckedView:
    """A view whose every text, now and on request, carries the payload."""
    view = cast("CheckedView", poisoned(rollup_view(), payload))

    def details(address: str) -> Details:
        return cast("Details", poisoned(rollup_view().details(address), payload))

    def explain(name: str) -> Explanation:
        return cast("Explanation", poisoned(rollup_view().explain(name), payload))

    def subsystems() -> tuple[Place, ...]:
        return cast("tuple[Place, ...]", poisoned(rollup_view().subsystems(), payload))

    def failures() -> FailuresView:
        return cast("FailuresView", poisoned(rollup_view().failures(), payload))

    def diagram(module: str, width: int, is_plain: bool) -> DiagramView:
        return cast("DiagramView", poisoned(rollup_view().diagram(module, width, is_plain), payload))

    return replace(view, details=details, explain=explain, subsystems=subsystems, failures=failures, diagram=diagram)


class PoisonedProposal(FakeProposal):
    """A proposal that also answers with the payload."""

    payload = ""

    def _write(self, path: str, overwrite: bool) -> WriteOutcome:
        return WriteOutcome("written", f"{self.payload} written to {path} {overwrite}")


def check_plain(app: App[None], payload: str) -> None:
    """Nothing on the screen acts or hides, and no bracket has been taken for a style or an action."""
    strips = app.screen._compositor.render_strips()
    for strip in strips:
        for segment in strip:
            assert segment.control is None or not segment.control
            categories = {unicodedata.category(character) for character in segment.text}
            assert not categories & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
            assert segment.style is None or "@click" not in str(segment.style.meta)
        assert strip.cell_length == app.size.width
    start = payload[:VISIBLE_START]
    if start.isascii() and start.isprintable():
        assert start in screen_text(app)


def hostile_app(payload: str, path: str = "") -> BomtuiApp:
    """The app over a workplace whose every text carries the payload."""
    proposal = PoisonedProposal(poisoned_view(payload))
    proposal.payload = payload
    proposal.fields_view = cast("FieldsView", poisoned(proposal.fields_view, payload))
    proposal.field_note = cast("FieldHelp", poisoned(proposal.field_note, payload))
    proposal.choices = cast("tuple[FieldChoice, ...]", poisoned(proposal.choices, payload))
    proposal.variant_choices = cast("tuple[VariantChoice, ...]", poisoned(proposal.variant_choices, payload))
    workplace = FakeWorkplace(proposal, (Entry("a", f"{payload} A", payload),))
    workplace.refusals = {"b": Refusal(f"{payload} refused", (payload, f"{payload} line"))}
    return app_with(workplace, path)


def poisoned_candidate(own: Candidate, payload: str) -> Candidate:
    """The candidate with the payload before every text of it."""
    bare = cast("Candidate", poisoned(replace(own, edit=None), payload))
    pairs = tuple((mark, f"{payload} {text}") for mark, text in own.added)
    return replace(bare, edit=own.edit, mark=own.mark, added=pairs)


async def check_text_below(pilot: Pilot[None], text: str) -> None:
    """Wait for a text in the lower part of the screen, whether scrolled into sight or not."""
    await check_comes_true(
        pilot, lambda: any(text in pane.plain for pane in pilot.app.screen.query(TextPane)), f"{text!r} stands below"
    )
    await pilot.pause()


@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_start_sheet_details_and_messages_show_it_as_text(payload: str) -> None:
    """From the list of proposals to a written parts list nothing acts, hides or breaks."""
    app = hostile_app(payload)
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "Samples, all invented")
        check_plain(app, payload)
        await pilot.press("enter")
        await check_sheet_up(pilot)
        check_plain(app, payload)
        await pilot.press("plus", "f", "d")
        await check_text_below(pilot, "0710037")
        check_plain(app, payload)
        await pilot.press("t", "w", "enter")
        await check_comes_true(pilot, lambda: app.focused is sheet_of(app), "the line is closed")
        await pilot.pause()
        check_plain(app, payload)


@pytest.mark.slow
@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_findings_explanation_variants_and_errors_show_it_as_text(payload: str) -> None:
    """On the screens above the sheet nothing acts, hides or breaks."""
    app = hostile_app(payload, "sweeper")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("down", "l")
        await check_text_below(pilot, "heat.junction")
        check_plain(app, payload)
        await pilot.press("escape", "x")
        await check_text_below(pilot, "step 1 ")
        check_plain(app, payload)
        await pilot.press("escape", "g")
        await check_text_below(pilot, "taken out")
        check_plain(app, payload)
        await pilot.press("escape", "b")
        await check_text_below(pilot, "columns")
        check_plain(app, payload)
        await pilot.press("escape", "v")
        await check_comes_true(pilot, lambda: isinstance(app.screen, VariantsScreen), "the variants are up")
        await pilot.pause()
        check_plain(app, payload)
        await pilot.press("escape", "o", "o", "b", "enter")
        await check_text_below(pilot, "line")
        check_plain(app, payload)


@pytest.mark.slow
@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_candidates_and_what_is_asked_about_them_show_it_as_text(payload: str) -> None:
    """Need, list, reasons, findings, remark and the question about a rejected one: nothing acts, hides or breaks."""
    proposal = small_proposal()
    source = proposal.candidates
    source.listed = tuple(poisoned_candidate(own, payload) for own in source.places("one", "L1").listed)
    source.need, source.text = (f"{payload} need",), f"{payload} text"
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"L1", "enter", "p")
        await check_text_below(pilot, "119.8 days")
        check_plain(app, payload)
        await pilot.press("end", "right", "right")
        await check_comes_true(
            pilot, lambda: sheet_of(app).cursor_row == sheet_of(app).rows[-2], "it is a rejected one"
        )
        await pilot.pause()
        check_plain(app, payload)
        await pilot.press("enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ChoiceScreen), "it is asked")
        await pilot.pause()
        check_plain(app, payload)


@pytest.mark.slow
@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_fields_lists_and_what_is_typed_over_show_it_as_text(payload: str) -> None:
    """Rows, their sentences, the line to type over, choices and refusals are plain on the screens that edit."""
    app = hostile_app(payload, "sweeper")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        proposal = working_screen(app).source
        assert isinstance(proposal, FakeProposal)
        proposal.outcome = Outcome("refused", f"{payload} is not taken.")
        await pilot.press("plus", "down", "down", "down", "e")
        await check_comes_true(pilot, lambda: isinstance(app.screen, FieldsScreen), "the fields are up")
        await pilot.pause()
        check_plain(app, payload)
        await pilot.press("e", "x", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.focused, Input), "the line is open again")
        await pilot.pause()
        check_plain(app, payload)
        await pilot.press("escape", "down", "down", "e")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ChoiceScreen), "the choices are up")
        await pilot.pause()
        check_plain(app, payload)
        await pilot.press("escape", "escape", "i")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ListsScreen), "the lists are up")
        await pilot.press("plus", "end")
        await pilot.pause()
        check_plain(app, payload)


@pytest.mark.slow
@pytest.mark.parametrize("payload", ["\x1b]0;OWNED\x07", "\u202ex", "[/]", "[@click=app.quit]X[/]"])
async def test_names_from_the_file_in_questions_and_choices_are_plain(payload: str) -> None:
    """Zones, subsystems and parts are named in choices as text, and so is what somebody typed in the sentence."""
    proposal = small_proposal()
    zones = {
        key: replace_struct(zone, name=f"{payload} zone") for key, zone in proposal.snapshot.proposal.zones.items()
    }
    proposal.snapshot = replace_struct(
        proposal.snapshot, proposal=replace_struct(proposal.snapshot.proposal, zones=zones)
    )
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"REAR", "enter", "c", *"COPY", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ChoiceScreen), "the zones are up")
        await check_seen(pilot, "ambient 85 degC")
        check_plain(app, "zone")
        await pilot.press("escape", "a", "down", "down", "enter", *"V3", "enter")
        prompt = app.screen.query_one("#find", PromptLine)
        await check_comes_true(pilot, lambda: prompt.is_asking, "the voltage is asked")
        prompt.query_one(Input).value = payload
        await pilot.press("enter")
        await check_seen(pilot, "A voltage is expected")
        check_plain(app, "A voltage")


@pytest.mark.slow
@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_a_lapsed_acceptance_shows_it_as_text(payload: str) -> None:
    """Who accepted what and why is written by people too."""
    accepted = replace(FINDINGS[0], lapsed=f"{payload} by M.E.", status=f"{payload} open", can_be_accepted=True)
    app = app_with(FakeWorkplace(FakeProposal(rollup_view(findings=(accepted,)))))
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l")
        await check_text_below(pilot, "lapsed")
        check_plain(app, payload)
        await pilot.press("A", "x", "enter")
        await pilot.pause()
        check_plain(app, payload)


async def test_each_payload_by_itself_is_plain_in_each_kind_of_widget() -> None:
    """Sheet, lines and text draw every payload clean and exactly as wide as the screen."""
    app = hostile_app("", "sweeper")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("d")
        for payload in PAYLOADS.values():
            row = Row("a", 0, (payload, payload), mark="over", word=payload)
            sheet_of(app).set_rows([row], (Column("Name", max_width=30), Column(payload, max_width=30)))
            app.screen.query_one(TextPane).set_text([(payload, "over")])
            working_screen(app).say(payload)
            await pilot.pause()
            check_plain(app, payload)


@pytest.mark.parametrize("payload", ["\x1b]0;OWNED\x07", "\u202ex", "[/]"])
async def test_a_pasted_or_offered_path_is_plain_too(payload: str) -> None:
    """What stands in the line for typing does not drive the terminal either."""
    app = app_with(FakeWorkplace(FakeProposal(rollup_view(parts_list_path=f"a{payload}b.csv"))))
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("w")
        await check_seen(pilot, "b.csv")
        check_plain(app, "a")


def test_the_payload_reaches_every_text() -> None:
    """The poisoning itself works, down to the innermost place, and leaves keys alone."""
    view = poisoned_view("[/]")
    innermost = view.modules[0].children[0].children[0]
    assert innermost.title.startswith("[/] ")
    assert innermost.address == "C03"
    seen: Callable[[str], Details] = view.details
    assert seen("x").figures[0].title.startswith("[/] ")
