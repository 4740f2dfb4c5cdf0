"""The base of every part of the document."""

from msgspec import Struct


class Value(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """A frozen part of the document, compared by content."""
