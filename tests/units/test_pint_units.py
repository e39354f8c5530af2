"""Units through pint: what it adds, where it must agree with the static table, and what it must not bring in."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path
from typing import Any

import pint
import pytest

from bomtui.units import QuantityError, parse, pint_units
from bomtui.units.table import UNITS

# Another meaning there, on purpose: a mil is a thousandth of an inch here, and an angle for pint.
OTHERWISE = {"mil", "mils"}


def test_the_static_table_agrees_with_the_library() -> None:
    """For each token that both know, dimension and factor are equal; that is most of the table."""
    agreed, unknown = set(), set()
    for token, unit in UNITS.items():
        if token in OTHERWISE:
            continue
        found = pint_units.find(token)
        if found is None:
            unknown.add(token)
            continue
        assert found.dimension == unit.dimension, token
        assert float(found.factor) == float(unit.factor / unit.divisor), token
        agreed.add(token)
    assert len(agreed) > 200
    assert {"A", "mohm", "K/W", "degC/W", "mAh", "mm2", "kbit/s", "1/K", "ppm/K", "A2.s", "F/m", "V/us"} <= agreed
    # Spellings of the trade, levels, scales of temperature and memories counted in 1024 are the table's own.
    assert {"Ohm", "VDC", "As", "Watt", "dBm", "degC", "kB", "%"} <= unknown


def test_scales_of_temperature_agree_with_the_library() -> None:
    """Degrees Celsius and Fahrenheit give the level that the library gives, zero point included."""
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Decimal)
    for token in ("degC", "degF"):
        for number in ("-40", "0", "85", "185", "451.5"):
            level = registry.Quantity(Decimal(number), token).to("degC").magnitude
            assert parse(f"{number} {token}", "temperature") == pytest.approx(float(level), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("2 week", "time", 1209600.0),
        ("1 ft", "length", 0.3048),
        ("1 lb", "mass", 0.45359237),
        ("3 kilowatt", "power", 3000.0),
        ("5 dA", "current", 0.5),
        ("3 W\u00b7s", "energy", 3.0),
        ("1 V/min", "slew_rate", 1 / 60),
        ("1 rad", "angle", 57.29577951308232),
        ("1 in2", "area", 0.00064516),
        ("9 \u00b0F/W", "thermal_resistance", 5.0),
        ("60 1/min", "frequency", 1.0),
    ],
)
def test_other_units_are_read_through_the_library(text: str, dimension: str, value: float) -> None:
    """Units outside of the table are read with the library's factor."""
    assert parse(text, dimension) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("3000 rpm", "frequency"),
        ("3 rad/s", "frequency"),
        ("3 Bq", "frequency"),
        ("10 Nm", "energy"),
        ("10 N*m", "energy"),
        ("10 lbf*ft", "energy"),
        ("5 VA", "power"),
        ("5 kVA", "power"),
        ("5 dBW", "power"),
        ("5 Np", "attenuation"),
        ("5 gr", "mass"),
        ("5 u", "mass"),
        ("5 e", "charge"),
        ("5 a", "time"),
        ("5 ma", "time"),
        ("12 k", "resistance"),
        ("1 G", "voltage"),
        ("5 pi", "ratio"),
        ("5 TB", "data_size"),
        ("5 %C", "charge"),
        ("5 m%", "length"),
        ("5 delta_degC", "temperature_difference"),
        ("5 AWG", "cross_section"),
        ("5 in/in", "ratio"),
        ("1 lambda", "length"),
        ("1 import", "length"),
    ],
)
def test_accidents_of_the_library_are_not_taken(text: str, dimension: str) -> None:
    """Speeds, torques, apparent powers, levels, constants and chance prefixes are no unit of these quantities."""
    with pytest.raises(QuantityError, match="expected a"):
        parse(text, dimension)


USED_FIRST_BY_EIGHT = """
from concurrent.futures import ThreadPoolExecutor
from bomtui.units import parse
with ThreadPoolExecutor(8) as pool:
    print(set(pool.map(lambda n: parse(f"{n} week", "time") / n, range(1, 9))))
"""


def test_eight_threads_may_use_the_library_first() -> None:
    """The registry is built once, and no thread is told that a known unit is unknown."""
    run = subprocess.run([sys.executable, "-c", USED_FIRST_BY_EIGHT], capture_output=True, text=True, check=False)
    assert (run.stdout.strip(), run.stderr) == ("{604800.0}", "")


def test_a_built_registry_serves_eight_threads() -> None:
    """Units looked up side by side come out as they do one by one."""
    tokens = [
        f"{prefix}{unit}" for prefix in ("milli", "kilo", "micro") for unit in ("watt", "volt", "ampere", "henry")
    ]
    pint_units.find.cache_clear()
    with ThreadPoolExecutor(8) as pool:
        together = list(pool.map(pint_units.find, tokens * 4))
    pint_units.find.cache_clear()
    assert together == [pint_units.find(token) for token in tokens] * 4
    assert None not in together


USE_A_FOLDER = """
import sys
from pathlib import Path
from bomtui.units import parse, use_cache_folder
use_cache_folder(Path(sys.argv[1]))
print(parse("1 week", "time"), parse("1 ft", "length"))
"""


def test_definitions_may_be_kept_in_a_folder(tmp_path: Path) -> None:
    """The registry keeps its parsed definitions where it is told, and gives the same numbers from there."""
    folder = tmp_path / "definitions"
    for _ in ("written", "read"):
        run = subprocess.run(
            [sys.executable, "-c", USE_A_FOLDER, str(folder)], capture_output=True, text=True, check=False
        )
        assert (run.stdout.strip(), run.stderr) == ("604800.0 0.3048", "")
        assert any(folder.iterdir())


@pytest.mark.slow
@pytest.mark.parametrize("torn", ["", "garbage\n", "\x80\x04."])
def test_a_broken_folder_does_not_stop_reading(tmp_path: Path, torn: str) -> None:
    """A torn cache file, or a file where the folder should be, costs time only."""
    folder = tmp_path / "definitions"
    pint.UnitRegistry(non_int_type=Decimal, cache_folder=folder)
    kept = [path for path in folder.iterdir() if path.suffix == ".pickle"]
    assert kept
    for path in kept:
        path.write_text(torn, encoding="latin-1")
    no_folder = tmp_path / "file"
    no_folder.touch()
    for place in (folder, no_folder):
        run = subprocess.run(
            [sys.executable, "-c", USE_A_FOLDER, str(place)], capture_output=True, text=True, check=False
        )
        assert (run.stdout.strip(), run.stderr) == ("604800.0 0.3048", "")
