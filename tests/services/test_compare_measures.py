"""Feeds, networks and single failures of two variants as measures: their figures, their bounds, what they mean."""

from pathlib import Path

import pytest

from bomtui.model.bound import Range
from bomtui.model.feed import Feed
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Rollup
from bomtui.services.compare_words import figure_text, measure_notes
from bomtui.services.measures import Measure, measures
from bomtui.services.open import Opened
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from tests.engine.sides import VARIANT, having, money, start, with_, with_module
from tests.samples.rollups import result, snapshot


def _reviewed(own: Snapshot, variant: str = VARIANT) -> Reviewed:
    return review(compute(Opened(Path("lamps.toml"), own, (), ""), variant))


def _measured(first: Snapshot, second: Snapshot) -> dict[str, Measure]:
    return {own.id: own for own in measures(_reviewed(first), _reviewed(second), are_judged=True)}


@pytest.fixture(scope="module")
def sweeper() -> dict[str, Measure]:
    """The measures of both variants of the sweeper, distributed first."""
    sides = [_reviewed(snapshot("sweeper"), variant) for variant in ("distributed", "zone")]
    return {own.id: own for own in measures(sides[0], sides[1], are_judged=True)}


def _with_feed(modules_fed: tuple[str, ...] = ("F1",)) -> Snapshot:
    """The two lamps with a feed of 2.5 mm2, and a module that it supplies or not."""
    own = with_module(start(), feeds=modules_fed)
    feed = Feed(fuse_current_a=15.0, wire_area_m2=2.5e-6, ground="G1")
    return having(own, variants={VARIANT: with_(own.proposal.variants[VARIANT], feeds={"F1": feed})})


def test_the_sweeper_by_its_wiring(sweeper: dict[str, Measure]) -> None:
    """Feeds, networks, nodes and controllers as counted by hand in the proposal."""
    counted = {key: (sweeper[key].first, sweeper[key].second) for key in ("feeds", "networks", "controllers")}
    assert counted == {"feeds": (9.0, 6.0), "networks": (2.0, 3.0), "controllers": (10.0, 6.0)}
    # Ten boxes on the bus and two ends of the radio link; five boxes, the two ends of ETH and those of the radio link.
    assert (sweeper["network_nodes"].first, sweeper["network_nodes"].second) == (12.0, 9.0)
    assert (sweeper["feeds"].better, sweeper["network_nodes"].better) == ("", "second")


def test_the_sweeper_by_what_a_failure_takes_along(sweeper: dict[str, Measure]) -> None:
    """The cab module of zone serves 31 loads, the exterior one of distributed 25: fewer modules lose more at once."""
    served = [max(len(own.loads) for own in _rollup(variant).modules.values()) for variant in ("distributed", "zone")]
    lost = sweeper["lost_with_module"]
    assert (lost.first, lost.second, lost.better) == (25.0, 31.0, "first")
    assert served == [25, 31]
    # Two feeds supply the cab module and nothing says which load hangs on which; the engine module has one feed.
    feed = sweeper["lost_with_feed"].second
    assert isinstance(feed, Range)
    assert (feed.low, feed.high, len(feed.unknown)) == (26.0, 31.0, 31)
    assert figure_text(sweeper["lost_with_feed"], feed) == "26..31"
    # Of the eight pairs, zone keeps L20 and L21 apart; of L01 and L02 the controller is common.
    assert (sweeper["shared_pairs"].first, sweeper["shared_pairs"].second) == (8.0, 7.0)


def _rollup(variant: str) -> Rollup:
    return result("sweeper", variant)


def test_copper_and_drop_of_a_feed() -> None:
    """2.5 m there and back of 2.5 mm2 are 5 m x 2.5 mm2 x 8.89 g/cm3 = 111.1 g; on both sides the same."""
    own = _measured(_with_feed(), _with_feed())
    assert own["feed_copper"].second == pytest.approx(0.111125)
    assert own["feed_copper"].better == "same"


def test_what_no_feed_is_named_for_is_unknown() -> None:
    """Without any feed nothing is known of the fullest; a module without one leaves a bound, and no side is better."""
    own = _measured(start(), _with_feed(()))
    assert (own["feed_copper"].first, own["feed_load"].first, own["feed_drop"].first) == (None, None, None)
    copper = own["feed_copper"].second
    assert isinstance(copper, Range)
    assert copper.unknown >= {"feed of BOX"}
    assert {own[key].better for key in ("feed_copper", "feed_load", "network_load", "lost_with_feed")} == {"undecided"}
    assert figure_text(own["lost_with_feed"], own["lost_with_feed"].first) == "?"


def test_names_that_do_not_say_it_are_explained_once(sweeper: dict[str, Measure]) -> None:
    """Measures of which the same is to be said share a line."""
    notes = measure_notes(sweeper.values())
    assert "lost with a chip, lost with a module, lost with a feed, lost with a ground" in notes
    assert notes["fullest feed"].startswith("steady current over the rated current")


def test_fewer_findings_are_no_better_where_more_is_undecided() -> None:
    """A module without its feed has fewer errors, because less can be checked: the counts stand, no side is better."""
    sample = snapshot("sweeper")
    zone = sample.proposal.variants["zone"]
    bare = with_(zone.modules["ZREA"], feeds=())
    feeds = {key: feed for key, feed in zone.feeds.items() if key != "F-ZREA"}
    variants = {**sample.proposal.variants, "zone": with_(zone, modules={**zone.modules, "ZREA": bare}, feeds=feeds)}
    sides = [_reviewed(own, "zone") for own in (sample, having(sample, variants=variants))]
    found = {own.id: own for own in measures(sides[0], sides[1], are_judged=True)}
    errors, undecided = found["findings.error"], found["findings.undecided"]
    assert errors.difference is not None
    assert errors.difference < 0
    assert undecided.difference is not None
    assert undecided.difference > 0
    assert (errors.better, undecided.better) == ("undecided", "first")
    same = {own.id: own for own in measures(sides[0], sides[0], are_judged=True)}
    assert same["findings.error"].better == "same"


def test_findings_are_judged_where_nothing_is_undecided() -> None:
    """Without undecided findings fewer errors are better."""
    side = _reviewed(start())
    decided = with_(side.review, findings=tuple(own for own in side.review.findings if own.outcome == "failed"))
    assert decided.findings
    none = with_(side.review, findings=())
    full, clean = Reviewed(side.computed, decided), Reviewed(side.computed, none)
    found = {own.id: own for own in measures(full, clean, are_judged=True)}
    worst = next(own for own in found.values() if own.id.startswith("findings.") and own.first)
    assert worst.better == "second"


def test_a_target_price_of_one_side_is_shown() -> None:
    """A revision that has a target price shows its gap beside one that has none, and nothing is called better."""
    later = start()
    later = having(later, programme=with_(later.proposal.programme, target_price=money("20")))
    found = _measured(start(), later)
    target, gap = found["target"], found["target_gap"]
    assert (figure_text(target, target.first), figure_text(target, target.second)) == ("?", "20.0000")
    assert (gap.difference, gap.better) == (None, "undecided")
    assert "target" not in _measured(start(), start())
