"""A feed in the details of a module: what protects it, what it carries, and what its wire makes of that."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from bomtui.model.bound import exceeds
from bomtui.model.feed import Feed
from bomtui.model.rollup import FeedResult
from bomtui.services.feeds import fuse_words, wire_words
from bomtui.services.present import value_text
from bomtui.tui.from_services.names import Names
from bomtui.tui.marks import Mark
from bomtui.tui.view import Figure

STATES: dict[bool | None, tuple[Mark, str]] = {
    False: ("ok", "within limit"),
    True: ("over", "over its limit"),
    None: ("unknown", "not decided"),
}


def feed_details(names: Names, result: FeedResult, others: Iterable[Figure]) -> Iterator[Figure]:
    """Yield a feed: fuse and wire, current against both, drop, the smallest fuse and wire that would do, all the rest.

    Args:
        names: Where everything stands.
        result: What was computed for it.
        others: All its figures.
    """
    said = list(_in_short(names, result))
    yield from said
    names_of = {figure.name for figure in said}
    yield from (replace(own, title=f"{result.id} {own.title}") for own in others if own.name not in names_of)


def _in_short(names: Names, result: FeedResult) -> Iterator[Figure]:
    feed: Feed = names.variant.feeds[result.id]
    place = f"feeds.{result.id}"
    ground = f", ground {feed.ground}" if feed.ground else ""
    shared = f"; feeds {', '.join(result.modules)}" if len(result.modules) > 1 else ""
    yield Figure(f"feed {result.id}", f"{fuse_words(feed)}, {wire_words(feed)}{ground}{shared}")
    mark, word = STATES[exceeds(result.heating_a, result.usable_a)]
    current = f"{value_text(result.heating_a, 'current')} of {value_text(result.usable_a, 'current')}"
    yield Figure(f"{result.id} carries, steady", current, mark, word, f"{place}:heating_a")
    mark, word = STATES[exceeds(result.protection_a, result.ampacity_a)]
    wire = f"{value_text(result.ampacity_a, 'current')}, cut off at {value_text(result.protection_a, 'current')}"
    yield Figure(f"{result.id} wire carries", wire, mark, word, f"{place}:ampacity_a")
    drop = f"{value_text(result.drop_v.max, 'voltage')}, {value_text(result.drop_ratio, 'ratio')}"
    yield Figure(f"{result.id} wire takes, max", drop, name=f"{place}:drop_v/max")
    fuse, area = (
        value_text(result.proposed_fuse_a, "current"),
        value_text(result.proposed_area_m2, "cross_section"),
    )
    yield Figure(f"{result.id} least fuse", f"{fuse} of type {feed.fuse_type}", name=f"{place}:proposed_fuse_a")
    yield Figure(f"{result.id} least wire", area, name=f"{place}:proposed_area_m2")
