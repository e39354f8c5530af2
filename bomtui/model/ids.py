"""Ids, their order, and the addresses that join them."""

import re
from functools import lru_cache
from typing import NamedTuple

ID_PATTERN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}")
ID_RULE = "letters, digits, '_' and '-', starting with a letter or digit, at most 32 characters"
NaturalKey = tuple[tuple[tuple[int, int, str], ...], str]
CACHED_IDS = 65_536
"""Sort keys and addresses kept: a rollup asks for the same ones again after every edit."""
_DIGIT_RUN = re.compile(r"(\d+)")


class Address(NamedTuple):
    """Where a load is placed: a module, a device of it, a channel of the device.

    Attributes:
        module: Id of the module.
        device: Reference of the device in the module; empty where only the module is named.
        channel: Number of the channel, 1 for the first; 0 where only the device is named.
    """

    module: str
    device: str = ""
    channel: int = 0

    def __str__(self) -> str:
        """Write the address as in a proposal file: `MODULE`, `MODULE.REF` or `MODULE.REF.CHANNEL`."""
        if not self.device:
            return self.module
        if not self.channel:
            return f"{self.module}.{self.device}"
        return f"{self.module}.{self.device}.{self.channel}"


def is_id(text: str) -> bool:
    """Tell whether a text is a lawful id."""
    return ID_PATTERN.fullmatch(text) is not None


@lru_cache(maxsize=CACHED_IDS)
def natural_key(text: str) -> NaturalKey:
    """Return a sort key by which L2 stands before L10, and texts that differ in case only stand together."""
    pieces = tuple(
        (0, int(piece), piece) if piece.isdecimal() else (1, 0, piece.casefold())
        for piece in _DIGIT_RUN.split(text)
        if piece
    )
    return pieces, text


@lru_cache(maxsize=CACHED_IDS)
def parse_address(text: str) -> Address:
    """Read an address.

    Raises:
        ValueError: The text is not `MODULE`, `MODULE.REF` or `MODULE.REF.CHANNEL`.
    """
    pieces = text.split(".")
    channel = pieces[2] if len(pieces) == len(Address._fields) else "1"
    if len(pieces) > len(Address._fields) or not all(map(is_id, pieces[:2])) or not _is_channel(channel):
        message = f"'{text}' is not an address: MODULE, MODULE.REF or MODULE.REF.CHANNEL is expected"
        raise ValueError(message)
    module, device = (*pieces, "")[:2]
    return Address(module, device, int(channel) if len(pieces) == len(Address._fields) else 0)


def _is_channel(text: str) -> bool:
    return text.isascii() and text.isdecimal() and text[0] != "0" and len(text) < len("10000")
