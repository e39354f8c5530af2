"""A demo load list in the form in which a customer's office sends it: another code page, commas, merged cells."""

import csv
from collections.abc import Sequence
from pathlib import Path

from tests.samples.load_list import write_load_list

HEADERS = {
    "id": "Pos.", "subsystem": "Gruppe", "name": "Bezeichnung", "kind": "Art", "zone": "Einbauort",
    "drive": "Ansteuerung", "rated_power [W]": "Nennleistung / W", "test_current [A]": "Strom (mA)",
    "peak_current [A]": "Spitzenstrom in mA", "resistance [ohm]": "Widerstand Ω", "behaviour": "Verhalten",
    "safety": "ASIL",
}  # fmt: skip
MILLI = ("Strom (mA)", "Spitzenstrom in mA")
NUMBERS = ("[", "Strom", "Spitzen", "Leistung", "Widerstand")

ANSWERS = {"fill_down": ("subsystem",), "columns": {"Widerstand ?": "resistance [ohm]"}}
"""What a person has to say of it: merged cells repeat, and a sign was lost in the code page."""


def write_hostile_list(vehicle: str, path: Path) -> int:
    """Write the load list of a demo vehicle; return how many loads it holds."""
    clean = path.with_suffix(".clean.csv")
    count = write_load_list(vehicle, clean)
    rows = list(csv.reader(clean.read_text(encoding="utf-8").splitlines()))
    clean.unlink()
    header = [HEADERS.get(cell, cell) for cell in rows[0]]
    lines: list[Sequence[str]] = [["Stückliste der Verbraucher", "", "geprüft: Büro"], [], header]
    group = header.index("Gruppe")
    last = ""
    for row in rows[1:]:
        cells = [_cell(name, cell) for name, cell in zip(header, row, strict=True)]
        cells[group], last = ("" if cells[group] == last else cells[group]), cells[group]
        lines.append(cells)
    lines.append(["Summe", *[""] * (len(header) - 1)])
    text = "".join(";".join(f'"{cell}"' if ";" in cell else cell for cell in line) + "\r\n" for line in lines)
    path.write_bytes(text.encode("cp1252", "replace"))
    return count


def _cell(header: str, cell: str) -> str:
    if not cell or not any(word in header for word in NUMBERS):
        return cell
    if header in MILLI:
        whole, _, decimals = cell.partition(".")
        digits = f"{whole}{decimals:0<3}".lstrip("0") or "0"
        cell = digits if len(decimals) <= 3 else f"{digits[: len(digits) - len(decimals) + 3]}.{decimals[3:]}"
    return cell.replace(".", ",")
