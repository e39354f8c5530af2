"""A proposal: the vehicle, its loads, its variants, its assumptions; and the snapshot one computes with."""

import datetime
from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.constraints import Constraints
from bomtui.model.fields import Field
from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.part import Part
from bomtui.model.programme import Programme
from bomtui.model.settings import Settings
from bomtui.model.variant import Variant
from bomtui.model.vehicle import Decomposition, Mode, Pair, Subsystem, Vehicle, Zone

FORMAT = 1
"""Version of the proposal file format that this program writes."""

ASSUMPTION_STATES = ("open", "confirmed", "refuted")


class Info(Base, frozen=True):
    """What the proposal is."""

    name: Annotated[str, Field("title of the proposal")]
    revision: Annotated[str, Field("revision as the engineer types it")] = ""
    customer: Annotated[str, Field("for whom")] = ""
    as_of: Annotated[datetime.date | None, Field("day for which prices, rates and life cycles are judged")] = None
    currency: Annotated[str, Field("currency of every total (ISO 4217)")] = "EUR"
    default_variant: Annotated[str, Field("variant shown first", refers_to="variant")] = ""
    demo: Annotated[bool, Field("invented data: screens and artefacts say so")] = False
    note: Annotated[str, Field("free text")] = ""


class Assumption(Base, frozen=True):
    """Something taken for granted until somebody confirms it."""

    text: Annotated[str, Field("what is assumed")]
    owner: Annotated[str, Field("who has to confirm it")] = ""
    due: Annotated[datetime.date | None, Field("until when")] = None
    effect: Annotated[str, Field("what changes if it is wrong")] = ""
    effect_cost: Annotated[
        Money | None, Field("what a vehicle then costs more; less than nothing where it costs less")
    ] = None
    status: Annotated[str, Field("where it stands", choices=ASSUMPTION_STATES)] = "open"
    note: Annotated[str, Field("free text")] = ""


class Proposal(Base, frozen=True):
    """One vehicle and what it is offered; one file."""

    proposal: Annotated[Info, Field("what the proposal is")]
    vehicle: Annotated[Vehicle, Field("the vehicle as a whole")]
    zones: Annotated[dict[str, Zone], Field("mounting places")] = {}
    modes: Annotated[dict[str, Mode], Field("operating modes")] = {}
    subsystems: Annotated[dict[str, Subsystem], Field("function groups")] = {}
    loads: Annotated[dict[str, Load], Field("the customer's load list")] = {}
    pairs: Annotated[dict[str, Pair], Field("loads and their stand-ins")] = {}
    decompositions: Annotated[dict[str, Decomposition], Field("loads that are redundant for one requirement")] = {}
    constraints: Annotated[Constraints, Field("what the customer asks of parts")] = Constraints()
    settings: Annotated[Settings, Field("rates, habits and thresholds")] = Settings()
    programme: Annotated[Programme, Field("target price, years and currencies")] = Programme()
    assumptions: Annotated[dict[str, Assumption], Field("what is taken for granted")] = {}
    variants: Annotated[dict[str, Variant], Field("architectures")] = {}


class Snapshot(Base, frozen=True):
    """A proposal with the frozen parts it is computed with: all that a figure depends on.

    Attributes:
        proposal: The proposal.
        parts: Frozen parts by catalog key.
        number: Counts edits in a running program; stale results are told by it.
    """

    proposal: Proposal
    parts: dict[str, Part]
    number: int = 0
