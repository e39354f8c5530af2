"""Loads that are said to be redundant for one requirement and are not independent, or not built to lawful levels."""

from collections.abc import Iterator

from bomtui.engine.decomposition import SCHEME, is_lawful
from bomtui.engine.failure_walk import Dependencies, common_causes, is_served
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.vehicle import Decomposition
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import listed

LEVELS_LIMIT = "a share of one level"
COMMON_LIMIT = "no common cause"
RECORD_LIMIT = "recorded independence"


def ask(context: Context) -> Iterator[Verdict]:
    """Two loads are redundant for one requirement, and their levels or their independence do not bear that.

    What it asks:
        For every decomposition: do both loads ask for the same level of ISO 26262, and is each built to a share that
        the standard knows (D to C and A, or B and B; C to B and A; B to A and A; any to itself and QM)? Does an
        assumption record why they are independent, which nobody has refuted? Is there no device, controller, module,
        feed, ground point or network that takes both? It cannot tell where a level is not given, where a cause may be
        common, where a feed or ground point is not named, or as long as the assumption is open. Other schemes have no
        such shares and are not asked.

    Why it matters:
        Two paths of A serve a requirement of B only where one failure cannot take both. A recorded assumption is an
        open point of the safety case, and no proof; a stand-in lamp keeps a function available and lowers no level.

    Failing example:
        Two hopper switches of A for a requirement of B, read by one controller.

    Passing example:
        The same switches read by controllers of two modules with fuses and ground points of their own, the assumption
        confirmed; that is not thereby safe.

    Source:
        ISO 26262-9 clause 5 (decomposition) and clause 7 (dependent failures): values from memory.
    """
    graph = Dependencies(context.variant, context.parts, context.loads)
    for key in sorted(context.proposal.decompositions, key=natural_key):
        own = context.proposal.decompositions[key]
        place = f"decompositions.{key}"
        facts = {"one": own.one, "other": own.other}
        yield _levels(context, place, own, facts)
        yield _record(context, place, own, facts)
        yield _common(context, graph, place, own, facts)


def _levels(context: Context, place: str, own: Decomposition, facts: dict[str, str]) -> Verdict:
    one, other = context.loads[own.one], context.loads[own.other]
    asked = {(load.safety_scheme, load.safety) for load in (one, other)}
    shares = f"{own.one_level or 'unknown'} and {own.other_level or 'unknown'}"
    if len(asked) > 1 or one.safety_scheme != SCHEME:
        words = " and ".join(f"{load.safety_scheme} {load.safety}" for load in (one, other))
        return failed(place, words, LEVELS_LIMIT, **facts, so="they do not ask for one level of ISO 26262")
    is_share = is_lawful(one.safety, own)
    if is_share is None:
        return undecided(place, shares, LEVELS_LIMIT, **facts, why="the level that a load is built to is not given")
    if not is_share:
        return failed(place, shares, LEVELS_LIMIT, **facts, so=f"these are no shares of {one.safety}")
    return passed(place, shares, LEVELS_LIMIT)


def _record(context: Context, place: str, own: Decomposition, facts: dict[str, str]) -> Verdict:
    recorded = context.proposal.assumptions.get(own.independence)
    if recorded is None:
        return failed(place, "no assumption", RECORD_LIMIT, **facts, so="nothing records why they are independent")
    if recorded.status == "refuted":
        so = f"{own.independence}, which records their independence, is refuted"
        return failed(place, own.independence, RECORD_LIMIT, **facts, so=so)
    if recorded.status == "open":
        why = f"{own.independence}, which records their independence, is open"
        return undecided(place, own.independence, RECORD_LIMIT, **facts, why=why)
    return passed(place, own.independence, RECORD_LIMIT)


def _common(context: Context, graph: Dependencies, place: str, own: Decomposition, facts: dict[str, str]) -> Verdict:
    loads = (own.one, own.other)
    absent = [load_id for load_id in loads if not is_served(context.variant, load_id)]
    if absent:
        return undecided(place, None, COMMON_LIMIT, **facts, why=f"no module serves {listed(absent)}")
    found = common_causes(place, *loads, {load_id: graph.needs(load_id) for load_id in loads})
    if found.shared:
        shared = listed([cause.name for cause in found.shared])
        return failed(place, shared, COMMON_LIMIT, **facts, so="one failure takes both")
    if found.possible:
        possible = listed([cause.name for cause in found.possible])
        return undecided(place, None, COMMON_LIMIT, **facts, why=f"both may hang on {possible}")
    if found.open_kinds:
        why = f"a {listed(found.open_kinds)} is not named, which they may have in common"
        return undecided(place, None, COMMON_LIMIT, **facts, why=why)
    return passed(place, COMMON_LIMIT, COMMON_LIMIT)


RULE = Rule(
    name="safety.redundancy",
    severity="error",
    failed="{one} and {other} are said to be redundant: {measured} against {limit}, {so}",
    undecided="{one} and {other} are said to be redundant; whether that holds is unknown: {why}",
    remedy="Part {one} and {other}, record and confirm why they are independent, or build both to the full level.",
    ask=ask,
)
