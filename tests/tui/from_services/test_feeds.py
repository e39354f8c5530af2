"""Feeds in the details of their modules and among the lists, and their edits by keys."""

from pathlib import Path

from bomtui.edit.edits.feed import AddFeed, FeedModule, RemoveFeed, RenameFeed
from bomtui.edit.edits.field import SetField
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.screens.lists.records import edits_of, list_at, removal
from bomtui.tui.view import Figure
from tests.tui.from_services.real import SWEEPER, opened

MODULE, FEED = "ZREA", "F-ZREA"
TABLE = "variants.zone.feeds"


def figures(source: SessionSource, address: str) -> dict[str, Figure]:
    """The details of a line by title."""
    return {figure.title: figure for figure in source.view("zone").details(address).figures}


def test_a_module_says_what_feeds_it(tmp_path: Path) -> None:
    """Fuse, wire and ground in words; steady current, ampacity and drop with their limits, each to be explained."""
    source = opened(SWEEPER, tmp_path)
    own = figures(source, MODULE)
    assert own[f"feed {FEED}"].text.startswith("fuse 35 A type C, wire 10 mm")
    assert own[f"feed {FEED}"].text.endswith(", ground G4")
    carried = own[f"{FEED} carries, steady"]
    assert (carried.text, carried.mark, carried.word) == ("23.27 A of 23.67 A", "ok", "within limit")
    assert own[f"{FEED} wire carries"].mark == "ok"
    assert own[f"{FEED} least fuse"].text == "35 A of type C"
    assert carried.name == f"feeds.{FEED}:heating_a"
    assert source.do(SetField(place=f"{TABLE}.{FEED}.fuse_current", value=30.0)).state == "done"
    assert figures(source, MODULE)[f"{FEED} carries, steady"].word == "over its limit"
    source.discard()


def test_findings_of_a_feed_stand_at_its_modules(tmp_path: Path) -> None:
    """What a check says of a feed is shown at every module on it."""
    source = opened(SWEEPER, tmp_path)
    view = source.view("zone")
    assert "feeds.F-ZENG" in {own.place for own in view.findings}
    assert any(own.place == "feeds.F-ZENG" for own in view.details("ZENG").findings or ())


def test_feeds_are_a_list_of_the_shown_variant(tmp_path: Path) -> None:
    """They stand behind the lists of the vehicle, each with its fields, and are added, renamed and removed there."""
    source = opened(SWEEPER, tmp_path)
    view = source.fields("zone", "")
    assert view is not None
    (table,) = [line for line in view.lines if line.place == TABLE]
    assert table.title == "feeds of variant zone"
    assert [line.title for line in table.children] == [
        "F-ZCEN1", "F-ZCEN2", "F-ZENG", "F-ZHMI", "F-ZREA", "F-ZUND",
    ]  # fmt: skip
    edits = edits_of(list_at(f"{TABLE}.{FEED}.fuse_current"))
    assert edits is not None
    assert edits.add is not None
    assert edits.add("F9") == AddFeed(variant="zone", feed_id="F9")
    assert edits.rename(FEED, "F9") == RenameFeed(variant="zone", feed_id=FEED, new_id="F9")
    assert removal(f"{TABLE}.{FEED}") == RemoveFeed(variant="zone", feed_id=FEED)
    assert edits_of("variants.zone.modules") is None


def test_a_feed_is_added_and_renamed_where_it_is_shown(tmp_path: Path) -> None:
    """The place of what was done is its record, and the module says the new id."""
    source = opened(SWEEPER, tmp_path)
    done = source.do(AddFeed(variant="zone", feed_id="F9"))
    assert (done.state, done.place) == ("done", f"{TABLE}.F9")
    assert source.do(FeedModule(variant="zone", module_id=MODULE, feeds=(FEED, "F9"))).state == "done"
    assert figures(source, MODULE)["feed F9"].text == "fuse unknown, wire unknown"
    renamed = source.do(RenameFeed(variant="zone", feed_id="F9", new_id="SPARE"))
    assert (renamed.state, renamed.place) == ("done", f"{TABLE}.SPARE")
    assert "feed SPARE" in figures(source, MODULE)
    source.discard()
