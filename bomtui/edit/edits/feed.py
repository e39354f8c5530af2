"""Feeds of a variant, and which of them supply a module."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.references import Mentions, followed_places
from bomtui.edit.tree import (
    check_new_id,
    counted,
    entry_of,
    module_of,
    variant_of,
    with_entry,
    with_key,
    with_module,
    with_proposal,
    with_variant,
    without,
)
from bomtui.edit.values import Scope, check_record, check_switch
from bomtui.model.feed import Feed
from bomtui.model.proposal import Snapshot


class AddFeed(Edit, frozen=True):
    """Add a fuse or electronic switch with its wire and ground point; it supplies nothing yet."""

    variant: str
    feed_id: str
    feed: Feed = Feed()

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add feed {self.feed_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the feed."""
        variant = variant_of(snapshot, self.variant)
        check_new_id(variant.feeds, self.feed_id, "feed")
        scope = Scope(snapshot, variant=variant)
        check_record(self.feed, scope, self.feed_id)
        check_switch(self.feed.switch, scope, f"switch of {self.feed_id}")
        return with_variant(snapshot, self.variant, feeds=with_entry(variant.feeds, self.feed_id, self.feed))


class RemoveFeed(Edit, frozen=True):
    """Remove a feed.

    Attributes:
        variant: The variant.
        feed_id: The feed.
        take_along: Whether what hangs on it may be left without, and what was accepted for it may go.
    """

    variant: str
    feed_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove feed {self.feed_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the feed."""
        variant = variant_of(snapshot, self.variant)
        entry_of(variant.feeds, self.feed_id, "feed", f"variant {self.variant}")
        path = f"variants.{self.variant}"
        mentions = Mentions("feed", self.feed_id, None)
        rest = mentions.record(variant, path)
        rest = followed_places(rest, f"feeds.{self.feed_id}", None, path, mentions.touched)
        if mentions.touched and not self.take_along:
            raise RefusedError(
                f"with the feed {self.feed_id} would go what names it: {counted(len(mentions.touched), 'place')}",
                tuple(mentions.touched),
                msgspec.structs.replace(self, take_along=True),
            )
        rest = msgspec.structs.replace(rest, feeds=without(rest.feeds, (self.feed_id,)))
        return with_proposal(snapshot, variants=with_entry(snapshot.proposal.variants, self.variant, rest))


class RenameFeed(Edit, frozen=True):
    """Give a feed another id; modules, devices and accepted findings follow."""

    variant: str
    feed_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename feed {self.feed_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the feed under its new id."""
        variant = variant_of(snapshot, self.variant)
        entry_of(variant.feeds, self.feed_id, "feed", f"variant {self.variant}")
        check_new_id(variant.feeds, self.new_id, "feed", renamed=self.feed_id)
        if self.new_id == self.feed_id:
            return snapshot
        path = f"variants.{self.variant}"
        renamed = Mentions("feed", self.feed_id, self.new_id).record(variant, path)
        renamed = followed_places(renamed, f"feeds.{self.feed_id}", f"feeds.{self.new_id}", path, [])
        renamed = msgspec.structs.replace(renamed, feeds=with_key(renamed.feeds, self.feed_id, self.new_id))
        return with_proposal(snapshot, variants=with_entry(snapshot.proposal.variants, self.variant, renamed))


class FeedModule(Edit, frozen=True):
    """Say which feeds supply a module; devices that hang on one that goes hang on none."""

    variant: str
    module_id: str
    feeds: tuple[str, ...]

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"feed {self.module_id} from {', '.join(self.feeds)}" if self.feeds else f"feed {self.module_id} no more"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the module on these feeds."""
        module = module_of(snapshot, self.variant, self.module_id)
        if len(set(self.feeds)) != len(self.feeds):
            raise RefusedError(f"the module {self.module_id} takes each feed once")
        devices = module.devices
        for ref, device in module.devices.items():
            if device.feed and device.feed not in self.feeds:
                devices = with_entry(devices, ref, msgspec.structs.replace(device, feed=""))
        if self.feeds == module.feeds and devices is module.devices:
            return snapshot
        fed = msgspec.structs.replace(module, feeds=self.feeds, devices=devices)
        check_record(fed, Scope(snapshot, variant=variant_of(snapshot, self.variant)), self.module_id)
        return with_module(snapshot, self.variant, self.module_id, fed)
