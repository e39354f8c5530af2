"""Feeds and networks of two variants as measures: how many, how full, how much copper."""

from collections.abc import Callable, Iterator

from bomtui.engine.calc import PLAIN
from bomtui.model.bound import Value
from bomtui.model.network import LOADED_KINDS
from bomtui.model.rollup import FeedResult, Rollup
from bomtui.services.measure_row import Row


def wiring_rows(one: Rollup, other: Rollup) -> Iterator[Row]:
    """Yield the measures of feeds and networks of two variants.

    What is largest of feeds is not known of a variant of which no feed is named, and no better than a bound where a
    module has none.
    """
    yield Row("feeds", "feeds", "count", float(len(one.feeds)), float(len(other.feeds)), "")
    yield Row("feed_load", "fullest feed", "ratio", _largest(one, _load), _largest(other, _load))
    yield Row("feed_drop", "largest feed drop", "ratio", _largest(one, _drop), _largest(other, _drop))
    yield Row("feed_copper", "copper of feeds", "mass", _copper_kg(one), _copper_kg(other))
    yield Row("networks", "networks", "count", float(len(one.networks)), float(len(other.networks)), "")
    yield Row("network_nodes", "network nodes", "count", _nodes(one), _nodes(other))
    yield Row("network_load", "busiest network", "ratio", _busiest(one), _busiest(other))


def _load(feed: FeedResult) -> Value:
    return feed.load_ratio


def _drop(feed: FeedResult) -> Value:
    return feed.drop_ratio


def _largest(rollup: Rollup, figure_of: Callable[[FeedResult], Value]) -> Value:
    if not rollup.feeds:
        return None
    figures = {key: figure_of(feed) for key, feed in rollup.feeds.items()} | dict.fromkeys(_without_feed(rollup))
    return PLAIN.largest(list(figures), list(figures.values()))


def _copper_kg(rollup: Rollup) -> Value:
    if not rollup.feeds:
        return None
    figures = {key: feed.copper_kg for key, feed in rollup.feeds.items()} | dict.fromkeys(_without_feed(rollup))
    return PLAIN.total(list(figures), list(figures.values()))


def _without_feed(rollup: Rollup) -> Iterator[str]:
    """Yield what stands for the feeds that are not named."""
    fed = {module for feed in rollup.feeds.values() for module in feed.modules}
    yield from (f"feed of {module}" for module in rollup.modules if module not in fed)


def _nodes(rollup: Rollup) -> float:
    return float(sum(network.nodes for network in rollup.networks.values()))


def _busiest(rollup: Rollup) -> Value:
    loads = {key: own.load_ratio.max for key, own in rollup.networks.items() if own.kind in LOADED_KINDS}
    return PLAIN.largest(list(loads), list(loads.values())) if loads else None
