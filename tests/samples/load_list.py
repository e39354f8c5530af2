"""A demo load list as a customer's sheet: the headers that `bomtui new` knows, the numbers with their units in them."""

import csv
from pathlib import Path

from tests.samples.tables import table

HEADERS = {
    "ref": "id", "rated_W": "rated_power [W]", "i_test_A": "test_current [A]", "i_peak_A": "peak_current [A]",
    "t_peak_ms": "peak_time [ms]", "pwm_Hz": "pwm_frequency [Hz]", "R_ohm": "resistance [ohm]",
    "L_mH": "inductance [mH]", "asil": "safety",
}  # fmt: skip
"""Headers that are not named so in the demo table; a share of a mode is `d_MODE` there."""
BEHAVIOURS = {"R": "resistive", "P": "constant_power", "I": "constant_current"}


def write_load_list(vehicle: str, path: Path) -> int:
    """Write the load list of a demo vehicle; return how many loads it holds."""
    rows = table(f"{vehicle}_loads")
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(map(_header, rows[0]))
        writer.writerows({**row, "behaviour": BEHAVIOURS[row["behaviour"]]}.values() for row in rows)
    return len(rows)


def _header(column: str) -> str:
    if column.startswith("d_"):
        return f"time_share.{column.removeprefix('d_')} [%]"
    return HEADERS.get(column, column)
