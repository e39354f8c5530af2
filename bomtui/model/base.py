"""The one base of everything a proposal is made of."""

import msgspec


class Base(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """A frozen record: compared by value, shared between snapshots, never changed in place.

    Mappings inside a record are plain dicts that nobody mutates; an edit builds a new dict.
    """
