"""A packing before engine and rules: what of it may stand, and what each module's share of it would do."""

from collections.abc import Sequence
from dataclasses import dataclass

from bomtui.edit.edit import Edit, Refusal
from bomtui.model.finding import Finding
from bomtui.model.rollup import Rollup
from bomtui.packing.blockers import NO_SAVING
from bomtui.packing.check import Checked, checked
from bomtui.packing.kept import OF_PAIRS, counts_against
from bomtui.packing.offer import Offer
from bomtui.packing.places import part_of
from bomtui.packing.plan import Plan, plan_of
from bomtui.packing.problem import Packing
from bomtui.packing.scope import Left
from bomtui.services.editing import with_parts
from bomtui.services.merged import Opportunity, Wish
from bomtui.services.present import amount_text, counted
from bomtui.services.review import Reviewed


@dataclass(frozen=True, slots=True)
class Accepted:
    """What of a packing may stand.

    Attributes:
        packing: The packing without the modules that were refused; None where nothing may be said of it.
        plan: What it changes; None where it changes nothing.
        after: The variant after it; None likewise.
        refused: Modules that stay as they are, and why.
    """

    packing: Packing | None
    plan: Plan | None
    after: Checked | None
    refused: tuple[Left, ...]


class PackingJudge:
    """Asks engine and rules of packings of some modules.

    Args:
        reviewed: The variant, computed and reviewed.
        wish: What is asked for.
        modules: Modules that are packed.
    """

    def __init__(self, reviewed: Reviewed, wish: Wish, modules: Sequence[str]) -> None:
        self.reviewed = reviewed
        self.wish = wish
        self.modules = modules
        self.computed = reviewed.computed
        self.snapshot = reviewed.computed.opened.snapshot

    def accepted(self, offer: Offer, packing: Packing) -> Accepted:
        """Take what engine and rules accept: modules that they refuse stay as they are."""
        refused: list[Left] = []
        start = offer.start
        while True:
            plan = self._plan(offer, packing)
            if plan.edit is None:
                return Accepted(packing, None, None, tuple(refused))
            after = checked(self.computed.memo, self.reviewed.review, self.step(offer, plan), self.wish.keep)
            if isinstance(after, Refusal):
                return Accepted(start, None, None, (*refused, Left(" ".join(self.modules), after.sentence)))
            if not self._against(after):
                worse = "" if self.wish.fresh else self._worse(after.computed.result)
                if worse:
                    return Accepted(None, None, None, (*refused, Left(" ".join(self.modules), worse)))
                return Accepted(packing, plan, after, tuple(refused))
            changing = [
                place
                for place in range(len(offer.modules))
                if start is not None and part_of(offer.problem, packing, place) != part_of(offer.problem, start, place)
            ]
            blamed = self._blamed(offer, after, changing)
            if start is None or not blamed:
                why = self._against(after)[0]
                return Accepted(start, None, None, (*refused, Left(why.place, f"{why.rule}: {why.message}")))
            refused += [Left(offer.modules[place], why) for place, why in blamed.items()]
            packing = tuple(
                own
                for place in range(len(offer.modules))
                for own in part_of(offer.problem, start if place in blamed else packing, place)
            )

    def _worse(self, after: Rollup) -> str:
        """Say in what a plan is worse than what is there; empty where it is not.

        Where something speaks against the drivers as they are, they are no packing, and the best packing that keeps the
        rules may be worse than they are.
        """
        before = self.computed.rollup
        kept = "the best packing that keeps the rules, and leaves nothing undecided,"
        if self.wish.aim == "chips":
            more = after.driver_devices - before.driver_devices
            return f"{NO_SAVING}: {kept} has {counted(more, 'device', 'devices')} more" if more > 0 else ""
        if self.wish.aim == "standby":
            now, then = before.standby_a.max, after.standby_a.max
            is_more = isinstance(now, float) and isinstance(then, float) and then > now
            return f"{NO_SAVING}: {kept} draws more standby current" if is_more else ""
        dearer = after.cost.total.amount - before.cost.total.amount
        currency = self.snapshot.proposal.proposal.currency
        return f"{NO_SAVING}: {kept} costs {amount_text(dearer)} {currency} more" if dearer > 0 else ""

    def _against(self, after: Checked) -> tuple[Finding, ...]:
        """Return the new findings that speak against a plan; of fresh loads only those of the rules that it keeps."""
        if not self.wish.fresh:
            return after.against
        serving = after.computed.serving.module_of
        drivers = {
            f"{module}.{address.device}"
            for module in self.modules
            for served in after.computed.serving.per_module[module]
            for address in served.channels
        }
        return tuple(
            own
            for own in after.against
            if counts_against(own, self.wish.keep)
            # What other chips of the module have to bear is announced: they are not what is packed here.
            and (own.place in drivers or own.place in serving or own.place in self.modules or own.rule in OF_PAIRS)
        )

    def _blamed(self, offer: Offer, after: Checked, changing: list[int]) -> dict[int, str]:
        """Return the changing modules of which a finding speaks; all of them where it speaks of none."""
        serving = after.computed.serving.module_of
        found: dict[int, str] = {}
        for finding in after.against:
            head = finding.place.partition(".")[0]
            names = {head, serving.get(head, ""), *(serving.get(own, "") for own in head.split("-"))}
            for place in changing:
                if offer.modules[place] in names:
                    found.setdefault(place, f"{finding.rule}: {finding.message}")
        if not found and after.against:
            why = f"{after.against[0].rule}: {after.against[0].message}"
            return dict.fromkeys(changing, why)
        return found

    def _plan(self, offer: Offer, packing: Packing) -> Plan:
        names = " ".join(offer.modules) if len(offer.modules) == 1 else counted(len(offer.modules), "module", "modules")
        return plan_of(self.snapshot, self.computed.variant, offer, packing, f"pack the drivers of {names}")

    def step(self, offer: Offer, plan: Plan) -> Edit:
        """Return a plan as one step that freezes the parts which it uses.

        Raises:
            ValueError: The plan changes nothing.
        """
        used = {own.part: offer.parts[own.part] for own in plan.chips}
        if plan.edit is None:
            raise ValueError("a plan that changes nothing has no step")
        return with_parts(self.snapshot, plan.edit, used)

    def opportunities(self, offer: Offer, packing: Packing) -> tuple[Opportunity, ...]:
        """Say of each module what its change alone would do."""
        if offer.start is None:
            return ()
        found = []
        for place, module in enumerate(offer.modules):
            own = tuple(
                filled
                for other in range(len(offer.modules))
                for filled in part_of(offer.problem, packing if other == place else offer.start, other)
            )
            plan = self._plan(offer, own)
            if plan.edit is None:
                continue
            edit = self.step(offer, plan)
            after = checked(self.computed.memo, self.reviewed.review, edit, self.wish.keep)
            if isinstance(after, Refusal):
                continue
            now, then = self.computed.rollup, after.computed.result
            found.append(
                Opportunity(
                    module,
                    _changes(plan, module),
                    now.cost.total.amount - then.cost.total.amount,
                    now.driver_devices - then.driver_devices,
                    (now.standby_a, then.standby_a),
                    after.added,
                    after.cleared,
                    edit,
                )
            )
        return tuple(found)


def _changes(plan: Plan, module: str) -> str:
    """Say what goes and what comes."""
    swapped = [
        f"{own.module}.{own.ref} {own.former} becomes {own.part}"
        for own in plan.chips
        if own.module == module and own.former not in ("", own.part)
    ]
    new = [f"{own.module}.{own.ref} {own.part} is new" for own in plan.chips if own.module == module and not own.former]
    gone = [f"{address} {part} goes" for address, part in plan.removed]
    return "; ".join((*gone, *swapped, *new)) or f"{counted(len(plan.moved), 'load moves', 'loads move')}"
