"""What is lost with every single thing of a variant, as one plain record."""

from collections.abc import Iterable
from typing import Annotated

from msgspec import Meta

from bomtui.export.records import Basis, Count, Heading, Record, heading
from bomtui.model.failure import (
    STAND_IN_CAUTION,
    Cause,
    CauseKind,
    CommonCauses,
    Effect,
    FailureWalk,
    StandInState,
)
from bomtui.model.plain_text import clean
from bomtui.model.proposal import Proposal
from bomtui.model.safety import level_rank, level_word


class StandInRecord(Record, frozen=True, kw_only=True):
    """What becomes of a stand-in pair of which one load is lost, or may be."""

    pair: str
    primary: str
    primary_state: StandInState
    stand_in: str
    state: Annotated[StandInState, Meta(description="works: fed and commanded; nothing is said of lighting law")]
    together: Annotated[bool, Meta(description="both are needed together: the loss of one ends the function")]


class EffectRecord(Record, frozen=True, kw_only=True):
    """What is lost with one thing taken out; `possible` loads may be lost: the proposal does not say."""

    kind: CauseKind
    id: str
    part: Annotated[str, Meta(description="catalog key of a device; empty for anything else")]
    outputs: tuple[str, ...]
    inputs: tuple[str, ...]
    possible_outputs: tuple[str, ...]
    possible_inputs: tuple[str, ...]
    lost_by_level: Annotated[dict[str, tuple[str, ...]], Meta(description="outputs and inputs that are lost")]
    possible_by_level: dict[str, tuple[str, ...]]
    stand_ins: tuple[StandInRecord, ...]


class CauseRecord(Record, frozen=True, kw_only=True):
    """Something that can be taken out."""

    kind: CauseKind
    id: str


class CommonRecord(Record, frozen=True, kw_only=True):
    """What a load has in common with its stand-in."""

    pair: str
    primary: str
    stand_in: str
    shared: tuple[CauseRecord, ...]
    possible: Annotated[tuple[CauseRecord, ...], Meta(description="causes that may take out both")]
    unknown: Annotated[tuple[CauseKind, ...], Meta(description="kinds of which a common one is not known")]


class NotKnown(Record, frozen=True, kw_only=True):
    """What the proposal does not say, so that the walk cannot follow it."""

    modules_without_feed: tuple[str, ...]
    feeds_without_ground: tuple[str, ...]
    loads_not_served: tuple[str, ...]
    loads_fed_elsewhere: Annotated[
        tuple[str, ...], Meta(description="switched towards ground: what feeds their battery side is not said")
    ]
    loads_without_command_network: Count


class FailuresRecord(Heading, frozen=True, kw_only=True):
    """Every single failure of one variant of a proposal, and what it takes with it."""

    causes: tuple[EffectRecord, ...]
    common_causes: tuple[CommonRecord, ...]
    not_known: NotKnown
    stand_in_caution: str


def failures_record(basis: Basis, walk: FailureWalk, effects: Iterable[Effect]) -> FailuresRecord:
    """Return the failures of a variant as a record.

    Args:
        basis: What the artefact is made of.
        walk: The failure walk of its variant.
        effects: Those of its effects that are wanted.
    """
    return FailuresRecord(
        **heading(basis, "Failures"),  # type: ignore[arg-type]
        causes=tuple(_effect(basis, effect) for effect in effects),
        common_causes=tuple(map(common_record, walk.common)),
        not_known=NotKnown(
            modules_without_feed=walk.no_feed,
            feeds_without_ground=walk.no_ground,
            loads_not_served=walk.not_served,
            loads_fed_elsewhere=walk.fed_elsewhere,
            loads_without_command_network=walk.no_command_network,
        ),
        stand_in_caution=STAND_IN_CAUTION,
    )


def part_of(proposal: Proposal, variant: str, cause: Cause) -> str:
    """Return the catalog key of a device that is a cause; empty for anything else."""
    module_id, _, ref = cause.id.partition(".")
    module = proposal.variants[variant].modules.get(module_id)
    device = None if module is None or cause.kind not in {"device", "controller"} else module.devices.get(ref)
    return "" if device is None else clean(device.part)


def by_level(proposal: Proposal, loads: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Return loads by what their functions ask, the highest level first."""
    asked = {load_id: (own.safety_scheme, own.safety) for load_id in loads for own in (proposal.loads[load_id],)}
    return {
        level_word(*level): tuple(load_id for load_id, own in asked.items() if own == level)
        for level in sorted(set(asked.values()), key=lambda own: level_rank(*own))
    }


def _effect(basis: Basis, effect: Effect) -> EffectRecord:
    return EffectRecord(
        kind=effect.cause.kind,
        id=effect.cause.id,
        part=part_of(basis.proposal, basis.rollup.variant, effect.cause),
        outputs=effect.outputs,
        inputs=effect.inputs,
        possible_outputs=effect.possible_outputs,
        possible_inputs=effect.possible_inputs,
        lost_by_level=by_level(basis.proposal, (*effect.outputs, *effect.inputs)),
        possible_by_level=by_level(basis.proposal, (*effect.possible_outputs, *effect.possible_inputs)),
        stand_ins=tuple(
            StandInRecord(
                pair=own.pair,
                primary=own.primary,
                primary_state=own.primary_state,
                stand_in=own.stand_in,
                state=own.state,
                together=own.is_together,
            )
            for own in effect.stand_ins
        ),
    )


def common_record(own: CommonCauses) -> CommonRecord:
    """Return what a load has in common with its stand-in as a record."""
    shared, possible = (
        tuple(CauseRecord(kind=cause.kind, id=cause.id) for cause in causes) for causes in (own.shared, own.possible)
    )
    return CommonRecord(
        pair=own.pair,
        primary=own.primary,
        stand_in=own.stand_in,
        shared=shared,
        possible=possible,
        unknown=own.open_kinds,
    )
