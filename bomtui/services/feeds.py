"""Fuses and wires of feeds in words."""

from bomtui.engine.fuse import COLOURS
from bomtui.model.feed import Feed
from bomtui.services.present import value_text


def fuse_words(feed: Feed) -> str:
    """Say what protects a feed: `fuse 10 A type C (red)`, `channel ZCEN.U3.2`."""
    if feed.switch:
        return f"channel {feed.switch}"
    if feed.fuse_current_a is None:
        return "fuse unknown"
    colour = COLOURS.get(feed.fuse_current_a, "") if feed.fuse_type == "C" else ""
    words = f"fuse {value_text(feed.fuse_current_a, 'current')} type {feed.fuse_type}"
    return f"{words} ({colour})" if colour else words


def wire_words(feed: Feed) -> str:
    """Say what wire a feed has: `wire 10 mm2`."""
    return f"wire {value_text(feed.wire_area_m2, 'cross_section')}"


def fuse_column(feed: Feed) -> str:
    """Say in a column what protects a feed: `10 A C`, `ZCEN.U3.2`, `unknown`."""
    if feed.switch or feed.fuse_current_a is None:
        return feed.switch or "unknown"
    return f"{value_text(feed.fuse_current_a, 'current')} {feed.fuse_type}"
