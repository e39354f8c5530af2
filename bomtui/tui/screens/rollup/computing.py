"""Having the shown variant computed, and then checked, while keys are still taken."""

import asyncio
from concurrent.futures import Future, ThreadPoolExecutor, wait
from functools import partial

from textual import work
from textual.worker import Worker, WorkerState

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.rollup.work import Work
from bomtui.tui.source import ProposalSource
from bomtui.tui.view import CheckedView, RollupView

FRAME_S = 1 / 60
"""How long one frame of the screen lasts at least."""
PATIENCE_S = 3 * FRAME_S
"""How long a key waits for new figures: three frames. Figures that are there by then stand in the very next frame; for
others keys are taken in the meantime."""
COMPUTE = "view"
CHECK = "check"
"""Groups of workers: a later one of a group makes an earlier one worthless."""


class Computing(Work):
    """The part of the working screen that waits for figures and findings.

    Figures are shown as soon as they are there; what the rules say of them follows. A stage that is overtaken by
    another step, or by another variant, is dropped.

    Attributes:
        checks_failed: Whether the findings of what is shown cannot be had, through a fault of the program.

    Args:
        source: The open proposal.
        glyphs: Signs of the screen.
    """

    def __init__(self, source: ProposalSource, glyphs: Glyphs) -> None:
        super().__init__(source, glyphs)
        self._threads = ThreadPoolExecutor(thread_name_prefix="view")
        self._computing: Future[RollupView] | None = None
        self._at_rest = asyncio.Event()
        self.checks_failed = False

    def show_view(self, view: RollupView) -> None:
        """Show figures of the newest snapshot, or the same with their findings."""
        raise NotImplementedError

    def show_failed_checks(self) -> None:
        """Say that the findings cannot be had."""
        raise NotImplementedError

    def on_unmount(self) -> None:
        """Let nobody wait for what is not shown any more."""
        self._threads.shutdown(wait=False, cancel_futures=True)
        self._at_rest.set()

    def compute(self, patience_s: float = 0.0) -> None:
        """Have the newest snapshot of the variant computed and shown.

        Args:
            patience_s: How long to wait for it; not at all while an earlier one is still being computed.
        """
        is_behind = self._computing is not None and not self._computing.done()
        self._at_rest.clear()
        self.checks_failed = False
        computing = self._computing = self._threads.submit(self.source.figures, self.variant)
        if patience_s and not is_behind:
            wait([computing], patience_s)
        if computing.done() and computing.exception() is None:
            self.workers.cancel_group(self, COMPUTE)
            self._take(computing.result(), self.variant)
        else:
            self._wait_for(computing, self.variant)

    @work(exclusive=True, group=COMPUTE, exit_on_error=False, description="computing the variant")
    async def _wait_for(self, computing: Future[RollupView], variant: str) -> None:
        self._take(await asyncio.wrap_future(computing), variant)

    def _take(self, view: RollupView, variant: str) -> None:
        """Show figures, unless another variant is wanted by now or the proposal has moved on."""
        if variant != self.variant:
            return
        if view.snapshot_number != self.source.snapshot_number:
            self.compute()
            return
        self.show_view(view)
        if isinstance(view, CheckedView):
            self._at_rest.set()
        else:
            # Not before the figures are drawn and written: the rules would slow that down.
            self.set_timer(FRAME_S, partial(self._check, variant))

    @work(exclusive=True, group=CHECK, exit_on_error=False, description="checking the variant")
    async def _check(self, variant: str) -> None:
        view = await asyncio.wrap_future(self._threads.submit(self.source.view_while_newest, variant))
        # Whatever has overtaken it is checked by itself.
        if view is not None and variant == self.variant and view.snapshot_number == self.source.snapshot_number:
            self.show_view(view)
            self._at_rest.set()

    async def checked_view(self) -> CheckedView | None:
        """What is shown once the last step is computed and checked; None where that cannot be had."""
        await self._at_rest.wait()
        return self.view if isinstance(self.view, CheckedView) else None

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Let nobody wait for figures or findings that cannot be had."""
        if event.state is not WorkerState.ERROR or event.worker.group not in {COMPUTE, CHECK}:
            return
        self._at_rest.set()
        if event.worker.group == CHECK:
            self.checks_failed = True
            self.show_failed_checks()
