"""Circuits simulated by ngspice: a netlist in, measured figures out."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

LONGEST_S = 60


def measured(netlist: str, folder: Path) -> dict[str, float]:
    """Run a netlist and return what its `.meas` lines found, by name.

    Args:
        netlist: Its lines, without title and `.end`.
        folder: Where the file may lie.
    """
    program = shutil.which("ngspice")
    if program is None:
        pytest.skip("ngspice is not installed")
    path = folder / "circuit.cir"
    path.write_text(f"circuit of a test\n{netlist}\n.end\n", encoding="ascii")
    done = subprocess.run(
        [program, "-b", str(path)], capture_output=True, text=True, timeout=LONGEST_S, check=False, cwd=folder
    )
    found = re.findall(r"^(\w+)\s*=\s*([-+.\de]+)", done.stdout, re.MULTILINE)
    assert found, done.stdout + done.stderr
    return {name: float(value) for name, value in found}
