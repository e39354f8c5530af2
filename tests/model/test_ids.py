"""Ids, their natural order, and addresses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomtui.model.ids import Address, is_id, natural_key, parse_address

IDS = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}", fullmatch=True)


@pytest.mark.parametrize("text", ["L1", "04", "hs24-4x100", "a" * 32, "Z_1"])
def test_lawful_ids(text: str) -> None:
    """Letters, digits, underscore and dash, starting with a letter or digit, up to 32."""
    assert is_id(text)


@pytest.mark.parametrize("text", ["", "-a", "_a", "a.b", "a b", "ä", "a" * 33, "L1\n"])
def test_unlawful_ids(text: str) -> None:
    """Anything else is no id, a dot above all: it joins ids to addresses."""
    assert not is_id(text)


def test_natural_order() -> None:
    """Numbers inside ids order as numbers."""
    assert sorted(["L10", "L2", "L1", "K3", "l2"], key=natural_key) == ["K3", "L1", "L2", "l2", "L10"]


@given(st.lists(IDS, unique=True))
def test_natural_order_is_total(ids: list[str]) -> None:
    """No two different ids share a place in the order."""
    assert len({natural_key(text) for text in ids}) == len(ids)


@given(IDS, IDS, st.integers(1, 9999))
def test_addresses_come_back(module: str, device: str, channel: int) -> None:
    """An address written is the address read."""
    for address in (Address(module), Address(module, device), Address(module, device, channel)):
        assert parse_address(str(address)) == address


@pytest.mark.parametrize(
    "text", ["", ".", "M.", "M.U1.", "M.U1.0", "M.U1.01", "M.U1.x", "M.U1.1.2", "M.U1.-1", "M U1", "M.U1.99999"]
)
def test_what_is_no_address(text: str) -> None:
    """Half an address, a channel 0 or a word for a channel is refused in one sentence."""
    with pytest.raises(ValueError, match=r"is not an address: MODULE, MODULE\.REF or MODULE\.REF\.CHANNEL is expected"):
        parse_address(text)
