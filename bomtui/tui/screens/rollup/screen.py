"""The working screen: meters, the sheet, findings and details of one variant."""

import asyncio
from collections.abc import Awaitable, Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from bomtui.tui.failure import describe
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.diagram.screen import DiagramScreen
from bomtui.tui.screens.explain.screen import ExplainScreen
from bomtui.tui.screens.failures.screen import FailuresScreen
from bomtui.tui.screens.fitted import WIDE_WIDTH
from bomtui.tui.screens.package.screen import WRITE, PackageScreen
from bomtui.tui.screens.rollup.adding import Adding
from bomtui.tui.screens.rollup.cataloguing import Cataloguing
from bomtui.tui.screens.rollup.computing import COMPUTE, PATIENCE_S
from bomtui.tui.screens.rollup.editing import Editing
from bomtui.tui.screens.rollup.finding_steps import FindingSteps
from bomtui.tui.screens.rollup.frame import meter_lines, title_line
from bomtui.tui.screens.rollup.outlining import Outlining
from bomtui.tui.screens.rollup.package_prompt import PackagePrompt
from bomtui.tui.screens.rollup.parts_list_prompt import PartsListPrompt
from bomtui.tui.screens.rollup.placing import Placing
from bomtui.tui.screens.rollup.reaching import Reaching
from bomtui.tui.screens.rollup.rows import (
    OTHER_TREE,
    STATE,
    VEHICLE_KEY,
    Tree,
    TreeKind,
    being_checked,
    build_tree,
    detail_lines,
    key_of,
    sheet_columns,
    status_text,
)
from bomtui.tui.screens.rollup.shaping import Shaping
from bomtui.tui.screens.steps.keeping import Keeping
from bomtui.tui.screens.steps.save_as_prompt import SaveAsPrompt
from bomtui.tui.screens.steps.searching import Searching
from bomtui.tui.screens.variants.screen import VariantsScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.text import fit, wrap
from bomtui.tui.user_commands import bindings, keys_of
from bomtui.tui.view import CHECKING, CheckedView, Details, RollupView
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane

COMPUTING = "Computing."
MESSAGE_LINES = 4
"""Lines that a message may take; a path may be long."""
DETAILS_DELAY_S = 0.05
"""How long the cursor rests on a row before its details are built; holding a key down builds none."""

KEYS_THAT_WAIT = keys_of("rollup", "find", "sheet")
"""Keys that are about the line under the cursor."""


class RollupScreen(
    Outlining, FindingSteps, Cataloguing, Keeping[None], Searching[None], Adding, Shaping, Reaching, Placing, Editing
):
    """One variant of one proposal.

    Args:
        source: The open proposal.
        glyphs: Signs of the screen.
        open_other: Asks for another proposal; what is typed behind the key is for the screen that does.
    """

    SCOPES = ("rollup", "keep", "find", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("rollup")]
    CSS_PATH = Path(__file__).with_name("rollup.tcss")

    @dataclass
    class LookedUp(Message):
        """Everything known of a place is collected."""

        view: RollupView
        address: str
        details: Details

    def __init__(self, source: ProposalSource, glyphs: Glyphs, open_other: Callable[[], Awaitable[None]]) -> None:
        super().__init__(source, glyphs)
        self._open_other = open_other
        self._heading = source.heading(self.variant)
        self._view: RollupView | None = None
        self._tree = Tree("modules")
        self._message = COMPUTING
        self._wanted_address = ""
        self._wanted_from: str | None = None
        self._has_arrived = asyncio.Event()
        self._message_key: str | None = None
        self._message_number = source.snapshot_number
        self._is_short_message = False
        self._details_timer: Timer | None = None

    def compose_parts(self) -> Iterable[Widget]:
        """Title, meters, sheet and details, findings, status, prompt."""
        yield Lines(lambda width: [title_line(self._heading, width, self.glyphs.ellipsis)], id="title")
        yield Lines(self._meter_lines, id="meters")
        with Container(id="body"):
            columns = sheet_columns(self._tree.kind, "")
            yield Sheet(
                columns,
                self.glyphs,
                id="sheet",
                take=self._show_details_of,
                state_title=STATE,
                empty=COMPUTING,
                min_name_width=24,
            )
            yield TextPane(id="details")
            yield from self.compose_outline()
        yield Lines(self.strip_lines, id="strip")
        yield Lines(self._status_line, id="status")
        yield PromptLine(id="find")
        yield PartsListPrompt(self.file_written, id="parts-list")
        yield PackagePrompt(self.file_written, id="package")
        yield SaveAsPrompt(self.file_written, id="save-as")

    def fitted(self) -> None:
        """Draw what depends on the layout: the height also decides how many findings are in sight."""
        self.query_one("#strip", Lines).rebuild()
        if self.outline.has_focus and not self.has_class("-wide"):
            self.set_focus(self.sheet)
        self._refresh_row()

    def on_mount(self) -> None:
        """Start the first computing."""
        self.set_focus(self.sheet)
        self.compute()

    def show_newest(self, address: str = "") -> None:
        """Compute and show the newest snapshot."""
        self._wanted_address, self._wanted_from = address, self.address
        if address and address != self.address:
            self._has_arrived.clear()
        known = [choice.id for choice in self.source.variants()]
        if self.variant not in known:
            self.variant = known[0] if known else ""
        self.show_heading()
        self.compute(PATIENCE_S)

    def show_heading(self) -> None:
        """Draw the title line anew."""
        self._heading = self.source.heading(self.variant)
        self.query_one("#title", Lines).rebuild()

    @property
    def view(self) -> RollupView | None:
        """What is shown; None while the first view is being computed."""
        return self._view

    @property
    def shows_details(self) -> bool:
        """Whether the details are in sight."""
        return self.has_class("-wide") or self.has_class("-details")

    def _meter_lines(self, width: int) -> Sequence[SpanLine]:
        return meter_lines(self._view.meters, width, self.glyphs) if self._view else []

    def _status_line(self, width: int) -> Sequence[SpanLine]:
        if self._message:
            lines = wrap(self._message, width - 2, hang=0)[:MESSAGE_LINES]
            if self._is_short_message:
                lines = [fit(self._message, width - 2, ellipsis=self.glyphs.ellipsis).rstrip()]
            said: list[SpanLine] = [[(f" {line}", "strong")] for line in lines]
            view = self._view
            if view is not None and view.hint and view.snapshot_number == self._message_number:
                said.append([(" " + fit(view.hint, width - 2, ellipsis=self.glyphs.ellipsis).rstrip(), "quiet")])
            return said
        row = self.sheet.cursor_row
        place = self._tree.places.get(row.key) if row else None
        if place is None or self._view is None:
            return [[]]
        if not isinstance(self._view, CheckedView):
            place = being_checked(place)
        return [[(" " + status_text(place, self._view.currency, width - 2, self._view.mode), "quiet")]]

    def say(self, message: str, *, is_short: bool = False) -> None:
        """Put a sentence into the status line; it stays until the cursor moves.

        Args:
            message: The sentence.
            is_short: Whether one line of it will do, as it stands elsewhere in full.
        """
        self._is_short_message = is_short
        row = self.sheet.cursor_row
        self._message, self._message_key = message, row.key if row else None
        self._message_number = self.source.snapshot_number
        self.query_one("#status", Lines).rebuild()

    def show_view(self, view: RollupView) -> None:
        """Show a computed variant, with its findings where they are known."""
        is_first, wanted = self._view is None, self._wanted
        before = wanted or self.address
        self._wanted_address = ""
        if view.heading.variant != self._heading.variant:
            self.begin_findings()
        # Not the heading of the view: the files may have been saved since it was computed.
        self._view, self._heading = view, self.source.heading(view.heading.variant)
        if self._message.startswith(COMPUTING.rstrip(".")):
            self._message = ""
        self.take_findings(view)
        self._show_tree(self._tree.kind, keep=before)
        # What was removed leaves the cursor beside its place; in another variant it begins at the top.
        if not wanted and self.address != before and key_of(self._tree, before or "") is None:
            self.sheet.reveal(VEHICLE_KEY)
        # What is about to have its lines back moves nothing.
        for part in ("#title", "#meters", "#strip"):
            self.query_one(part, Lines).rebuild(keeps_height=not isinstance(view, CheckedView))
        row = self.sheet.cursor_row
        # What is said of a step stays while the cursor goes to where the step was done.
        self._message_key = row.key if row else None
        if view.hint:
            self.query_one("#status", Lines).rebuild()
        self._has_arrived.set()
        if is_first and self.source.remark:
            self.say(self.source.remark)
        if is_first:
            self.call_later(self.ask_about_offer)

    @property
    def address(self) -> str | None:
        """Address of the line under the cursor."""
        key = self.cursor_key
        place = None if key is None else self._tree.places.get(key)
        return place.address if place else None

    @property
    def _wanted(self) -> str:
        """Address that the cursor goes to as soon as the last step is computed; empty where somebody moved it since."""
        return self._wanted_address if self.address == self._wanted_from else ""

    @property
    def target(self) -> str | None:
        """Address of the line that the cursor is on, or goes to as soon as the last step is computed."""
        return self._wanted or self.address

    async def before_key(self, key: str) -> None:
        """Let a key that is about a line wait until the cursor is where the last step has led."""
        if self._wanted and key in KEYS_THAT_WAIT:
            await self._has_arrived.wait()

    def _show_tree(self, kind: TreeKind, keep: str | None) -> None:
        """Show the modules or the subsystems, with the cursor on the same place where it is in both."""
        if self._view is None:
            return
        self._tree = build_tree(self._view, kind, self._tree)
        state_title = STATE if isinstance(self._view, CheckedView) else CHECKING
        self.sheet.set_rows(self._tree.rows, sheet_columns(kind, self._view.currency), state_title=state_title)
        self.show_outline(kind, state_title)
        key = key_of(self._tree, keep) if keep and keep != self.address else None
        if key is not None:
            self.sheet.reveal(key)
        self._refresh_row()

    @on(Sheet.Moved, "#sheet")
    def _row_changed(self) -> None:
        # Where the cursor is now: a step may have moved it twice, and this tells of the first time.
        row = self.sheet.cursor_row
        if row is None or row.key != self._message_key:
            self._message = ""
        self.follow_sheet()
        self._refresh_row()

    def _refresh_row(self) -> None:
        self.query_one("#status", Lines).rebuild()
        if self._details_timer is not None:
            self._details_timer.stop()
        if self.shows_details:
            self._details_timer = self.set_timer(DETAILS_DELAY_S, self._want_details)

    def _want_details(self) -> None:
        address = self.address
        if self._view is not None and address is not None:
            self.look_up(self._view, address)

    @work(thread=True, exclusive=True, group="details", exit_on_error=False, description="collecting the details")
    def look_up(self, view: RollupView, address: str) -> None:
        """Collect everything known of a place."""
        self.post_message(self.LookedUp(view, address, view.details(address)))

    @on(LookedUp)
    def _show_details(self, message: LookedUp) -> None:
        """Show details, unless the cursor or the proposal has moved on."""
        if message.view is self._view and message.address == self.address:
            pane = self.query_one("#details", TextPane)
            width = pane.scrollable_content_region.width
            pane.set_text(detail_lines(message.details, self.glyphs, width))

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say in the details themselves why there are none; all other failures get a screen of their own."""
        if event.state is not WorkerState.ERROR or event.worker.error is None:
            return
        if event.worker.group == "details":
            event.prevent_default()
            lines = [(line, "") for line in describe(event.worker.error)]
            self.query_one("#details", TextPane).set_text([("No details", "over"), ("", ""), *lines])
        elif event.worker.group == COMPUTE:
            self._has_arrived.set()
            self.say(f"Variant {self.variant} could not be computed.")
            self.sheet.empty = "This variant could not be computed: v chooses another one, o another proposal."
            self.sheet.refresh()
            # What is on the screen is still the variant of its title.
            self.variant = self._heading.variant

    def _show_details_of(self, _row: Row) -> None:
        if not self.shows_details:
            self.action_details()

    def on_screen_resume(self) -> None:
        """Something may have been changed, and details may have come into sight, while another screen was up."""
        if self._view is not None and self._view.snapshot_number != self.source.snapshot_number:
            self.show_newest(self._wanted)
        if self._message_number != self.source.snapshot_number:
            # It was said of a step that is not the last one any more, and may be undone by now.
            self._message = ""
        self._refresh_row()

    def reveal_place(self, address: str) -> bool:
        """Put the cursor on an address, or on the place it is in, turning the tree where that helps."""
        if self._view is None:
            return False
        key = key_of(self._tree, address)
        if key is None:
            other = OTHER_TREE[self._tree.kind]
            if key_of(build_tree(self._view, other), address) is not None:
                self._show_tree(other, address)
                key = key_of(self._tree, address)
        return key is not None and self.sheet.reveal(key)

    def action_turn_tree(self) -> None:
        """Turn the sheet from modules to subsystems and back."""
        self._show_tree(OTHER_TREE[self._tree.kind], self.address)

    def action_details(self) -> None:
        """Show or hide the details; on a wide terminal they are always there."""
        if self.app.size.width >= WIDE_WIDTH:
            self.say("Details stand on the right: tab goes there, and on to the outline on the left.")
            return
        self.toggle_class("-details")
        if self.shows_details:
            self._want_details()
        else:
            self.set_focus(self.sheet)

    def action_leave(self) -> None:
        """Close the details."""
        self.remove_class("-details")
        self.set_focus(self.sheet)

    async def action_explain(self) -> None:
        """Show where the figures of the row come from."""
        address = self.address
        if self._view is None or address is None:
            return
        await self.app.push_screen(ExplainScreen(self._view, address, self.glyphs))

    async def action_failures(self) -> None:
        """Show what is lost with every single thing taken out."""
        if self._view is None:
            return

        def chosen(address: str | None) -> None:
            if address is not None and not self.reveal_place(address):
                self.say(f"{address} has no line here.")

        await self.app.push_screen(FailuresScreen(self._view, self.address or "", self.glyphs), chosen)

    async def action_diagram(self) -> None:
        """Draw the module of the row, or the vehicle."""
        if self._view is not None:
            module = (self.address or "").partition(".")[0]
            await self.app.push_screen(DiagramScreen(self._view, module, self.glyphs))

    async def action_variants(self) -> None:
        """Choose another variant."""

        def chosen(variant: str | None) -> None:
            if variant is not None and variant != self.variant:
                self.show_variant(variant)

        await self.app.push_screen(VariantsScreen(self.source, self.variant, self.glyphs), chosen)

    def show_variant(self, variant: str, address: str = "") -> None:
        """Show another variant, with the cursor on a place of it."""
        self.variant = variant
        self._wanted_address, self._wanted_from = address, self.address
        self.say(f"Computing variant {variant}.")
        self.compute(PATIENCE_S)

    def action_write_parts_list(self) -> None:
        """Ask where the parts list goes, and write it."""
        if self._view is not None:
            self.query_one(PartsListPrompt).ask_for(self._view)

    async def action_write_package(self) -> None:
        """Ask how the package is written and into which folder, and write it."""
        view = self._view
        if view is not None:

            def chosen(choice: str | None) -> None:
                if choice == WRITE:
                    self.query_one(PackagePrompt).ask_for(view, screen.wishes)

            screen = PackageScreen(self.glyphs)
            await self.app.push_screen(screen, chosen)

    async def action_open_other(self) -> None:
        """Open another proposal."""
        await self._open_other()
