"""Factors of units against their published definitions."""

from decimal import Decimal

import pytest

from bomtui.units import parse, parse_exact


@pytest.mark.parametrize(
    ("prefix", "factor"),
    [
        ("T", "1e12"),
        ("G", "1e9"),
        ("M", "1e6"),
        ("k", "1e3"),
        ("m", "1e-3"),
        ("u", "1e-6"),
        ("\u00b5", "1e-6"),
        ("\u03bc", "1e-6"),
        ("n", "1e-9"),
        ("p", "1e-12"),
        ("f", "1e-15"),
    ],
)
def test_si_prefixes(prefix: str, factor: str) -> None:
    """SI brochure, 9th edition, table 7; tera to femto through units that carry them."""
    symbol, dimension = {"T": ("ohm", "resistance"), "G": ("Hz", "frequency"), "f": ("F", "capacitance")}.get(
        prefix, ("A", "current")
    )
    assert parse_exact(f"1 {prefix}{symbol}", dimension) == Decimal(factor)


@pytest.mark.parametrize(
    ("text", "dimension", "factor"),
    [
        # SI brochure, 9th edition, table 8: 1 min = 60 s, 1 h = 3600 s, 1 d = 86 400 s, 1 t = 10^3 kg.
        ("1 min", "time", "60"),
        ("1 h", "time", "3600"),
        ("1 d", "time", "86400"),
        ("1 t", "mass", "1000"),
        # NIST SP 811 (2008), appendix B.8, factors printed in bold, which are exact (values from memory).
        ("1 Ah", "charge", "3.6e3"),
        ("1 Wh", "energy", "3.6e3"),
        ("1 kWh", "energy", "3.6e6"),
        ("1 in", "length", "2.54e-2"),
        ("1 mil", "length", "2.54e-5"),
        ("1 ft", "length", "3.048e-1"),
        ("1 lb", "mass", "4.5359237e-1"),
        # IEC 80000-13:2008, clause 4: Ki = 1024, Mi = 1024^2, Gi = 1024^3 (values from memory).
        ("1 KiB", "data_size", "1024"),
        ("1 MiB", "data_size", "1048576"),
        ("1 GiB", "data_size", "1073741824"),
        # JEDEC JESD100B.01: kilo, mega and giga of a semiconductor memory are 2^10, 2^20 and 2^30.
        ("1 KB", "data_size", "1024"),
        ("1 kB", "data_size", "1024"),
        ("1 MB", "data_size", "1048576"),
        ("1 GB", "data_size", "1073741824"),
        ("8 kbit", "data_size", "1024"),
        ("8 Mbit", "data_size", "1048576"),
        # ISO 11898 and the data sheets of transceivers count bit rates in powers of 1000 (common practice, no source).
        ("1 kbit/s", "bit_rate", "1000"),
        ("1 Mbit/s", "bit_rate", "1000000"),
    ],
)
def test_exact_factors(text: str, dimension: str, factor: str) -> None:
    """The factor equals the published one to the last digit."""
    assert parse_exact(text, dimension) == Decimal(factor)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [("-40", -40.0), ("32", 0.0), ("212", 100.0), ("98.6", 37.0), ("257", 125.0)],
)
def test_degree_fahrenheit(fahrenheit: str, celsius: float) -> None:
    """NIST SP 811 (2008), appendix B.8: t/degC = (t/degF - 32)/1.8 (formula from memory)."""
    assert parse(f"{fahrenheit} \u00b0F", "temperature") == celsius


@pytest.mark.parametrize(
    ("code", "ohms"),
    [("4R7", "4.7"), ("470R", "470"), ("4K7", "4700"), ("47K", "47000"), ("47K3", "47300"), ("4M7", "4700000")],
)
def test_marking_codes_of_resistors(code: str, ohms: str) -> None:
    """IEC 60062, letter and digit code for resistance, as tabulated in public articles on the code."""
    assert parse_exact(code, "resistance") == Decimal(ohms)


@pytest.mark.parametrize(
    ("code", "farads"), [("10p", "1e-11"), ("4n7", "4.7e-9"), ("1\u00b50", "1e-6"), ("3p32", "3.32e-12")]
)
def test_marking_codes_of_capacitors(code: str, farads: str) -> None:
    """IEC 60062, letter and digit code for capacitance, as tabulated in public articles on the code."""
    assert parse_exact(code, "capacitance") == Decimal(farads)
