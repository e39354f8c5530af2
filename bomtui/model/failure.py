"""What is lost when one thing of a variant fails."""

from typing import Literal, get_args

from bomtui.model.base import Base
from bomtui.model.ids import NaturalKey, natural_key

CauseKind = Literal["controller", "device", "module", "feed", "ground", "network"]
CAUSE_KINDS: tuple[CauseKind, ...] = get_args(CauseKind)
"""What can be taken out, in the order in which people read it; a controller is a device too, and named as one."""

StandInState = Literal["works", "lost", "unknown"]

STAND_IN_CAUTION = "Electrically possible; type approval not checked."
"""What is said of every stand-in that works."""


class Cause(Base, frozen=True, kw_only=False):
    """One thing whose failure is looked at.

    Attributes:
        kind: What it is.
        id: Id of module, feed, ground point or network; `MODULE.REF` of a device or controller.
    """

    kind: CauseKind
    id: str

    @property
    def name(self) -> str:
        """The cause in words, such as `controller ZREA.U8`."""
        return f"{self.kind} {self.id}"


def cause_key(cause: Cause) -> tuple[int, NaturalKey]:
    """Return a sort key: by kind as in `CAUSE_KINDS`, then by id."""
    return CAUSE_KINDS.index(cause.kind), natural_key(cause.id)


class Needs(Base, frozen=True):
    """What a load cannot work without.

    Attributes:
        certain: What it needs.
        possible: What it may need, because the proposal does not say.
        open_kinds: Kinds of causes of which it needs one that nobody has named.
    """

    certain: frozenset[Cause] = frozenset()
    possible: frozenset[Cause] = frozenset()
    open_kinds: frozenset[CauseKind] = frozenset()


class StandIn(Base, frozen=True):
    """What becomes of a stand-in pair of which one load is lost, or may be.

    Attributes:
        pair: Id of the stand-in pair.
        primary: The load that is stood in for.
        primary_state: Whether it still works.
        stand_in: The load that takes over.
        state: Whether it still works: fed and commanded; lawful or bright enough is another matter.
        is_together: Whether both are needed together, so that the loss of one ends the function.
    """

    pair: str
    primary: str
    primary_state: StandInState
    stand_in: str
    state: StandInState
    is_together: bool


class Effect(Base, frozen=True):
    """What is lost with one cause; loads in natural order.

    Attributes:
        cause: What is taken out.
        outputs: Loads that stop working.
        inputs: Sensors, switches and links that are lost.
        possible_outputs: Loads that may stop working: the proposal does not say.
        possible_inputs: Inputs that may be lost.
        stand_ins: What becomes of stand-in pairs of which a load is lost, or may be.
    """

    cause: Cause
    outputs: tuple[str, ...] = ()
    inputs: tuple[str, ...] = ()
    possible_outputs: tuple[str, ...] = ()
    possible_inputs: tuple[str, ...] = ()
    stand_ins: tuple[StandIn, ...] = ()

    @property
    def loses_nothing(self) -> bool:
        """Whether no load is lost, or may be."""
        return not (self.outputs or self.inputs or self.possible_outputs or self.possible_inputs)


class CommonCauses(Base, frozen=True):
    """What a load has in common with its stand-in.

    Attributes:
        pair: Id of the stand-in pair.
        primary: The load that may fail.
        stand_in: The load that takes over.
        shared: Causes that take out both.
        possible: Causes that may take out both.
        open_kinds: Kinds of causes of which it is not known whether they have one in common.
        is_together: Whether both are needed together.
    """

    pair: str
    primary: str
    stand_in: str
    shared: tuple[Cause, ...] = ()
    possible: tuple[Cause, ...] = ()
    open_kinds: tuple[CauseKind, ...] = ()
    is_together: bool = False


class FailureWalk(Base, frozen=True):
    """Every single failure of a variant, and what it takes with it.

    Attributes:
        variant: Id of the variant.
        effects: One per cause, those that lose nothing among them.
        common: One per stand-in pair.
        needs: Per load that a module serves, what it cannot work without.
        not_served: Loads that no module serves.
        no_feed: Modules with a device of which no feed is named.
        no_ground: Feeds of which no ground point is named.
        fed_elsewhere: Loads that are switched towards ground: what feeds their battery side is not said.
        no_command_network: How many loads do not say over which network a command from another module comes.
    """

    variant: str
    effects: tuple[Effect, ...]
    common: tuple[CommonCauses, ...]
    needs: dict[str, Needs]
    not_served: tuple[str, ...]
    no_feed: tuple[str, ...]
    no_ground: tuple[str, ...]
    fed_elsewhere: tuple[str, ...]
    no_command_network: int

    def effect_of(self, cause: Cause) -> Effect:
        """Return the effect of a cause.

        Raises:
            LookupError: The variant has no such thing.
        """
        for effect in self.effects:
            if effect.cause == cause:
                return effect
        raise LookupError(f"there is no {cause.name}")
