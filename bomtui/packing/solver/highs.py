"""The one way to the solver: one thread, a fixed seed, and every status looked at."""

from collections.abc import Mapping

import highspy
import numpy as np

INFINITE = float(highspy.kHighsInf)
SEED = 1


class SolverError(Exception):
    """The solver gave no answer that can be used."""


class Model:
    """A linear or integer program that grows: minimise, rows and columns by number."""

    def __init__(self) -> None:
        self._highs = highspy.Highs()  # type: ignore[no-untyped-call]
        self._set("output_flag", value=False)
        self._set("threads", 1)
        self._set("random_seed", SEED)
        self._columns = 0
        self._rows = 0

    def _set(self, name: str, value: float) -> None:
        if self._highs.setOptionValue(name, value) != highspy.HighsStatus.kOk:
            raise SolverError(f"the solver does not know its option {name}")

    def column(
        self, cost: float, low: float, high: float, entries: Mapping[int, float] | None = None, *, whole: bool = False
    ) -> int:
        """Add a variable with its entries in rows that are there; return its number."""
        entries = {} if entries is None else entries
        self._checked(
            self._highs.addCol(
                cost,
                low,
                high,
                len(entries),
                np.array(list(entries), dtype=np.int32),
                np.array(list(entries.values()), dtype=np.float64),
            )
        )
        number = self._columns
        self._columns += 1
        if whole:
            self._checked(self._highs.changeColIntegrality(number, highspy.HighsVarType.kInteger))
        return number

    def row(self, low: float, high: float, entries: Mapping[int, float]) -> int:
        """Add a row over variables that are there; return its number."""
        self._checked(
            self._highs.addRow(
                low,
                high,
                len(entries),
                np.array(list(entries), dtype=np.int32),
                np.array(list(entries.values()), dtype=np.float64),
            )
        )
        number = self._rows
        self._rows += 1
        return number

    def solve(self) -> bool:
        """Solve the linear program; tell whether it has a solution."""
        self._checked(self._highs.run())
        return bool(self._highs.getModelStatus() == highspy.HighsModelStatus.kOptimal)

    def solve_whole(self, nodes: int, start: Mapping[int, float] | None = None) -> tuple[bool, float]:
        """Solve the integer program as far as some nodes go.

        Args:
            nodes: Nodes of its search tree after which it stops.
            start: A solution that is known, by variable; variables that it leaves out are 0.

        Returns:
            Whether it has a solution, and the bound of the cost that it has reached.
        """
        self._set("mip_max_nodes", nodes)
        self._set("mip_rel_gap", 0.0)
        # One step of cost is the smallest difference that there is.
        self._set("mip_abs_gap", 0.999)
        if start is not None:
            solution = highspy.HighsSolution()
            solution.col_value = [start.get(number, 0.0) for number in range(self._columns)]
            self._highs.setSolution(solution)
        self._checked(self._highs.run())
        info = self._highs.getInfo()
        status = self._highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return False, INFINITE
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        return bool(found), float(info.mip_dual_bound)

    def values(self) -> list[float]:
        """Return the value of every variable."""
        return list(self._highs.getSolution().col_value)

    def prices(self) -> list[float]:
        """Return the dual price of every row."""
        return list(self._highs.getSolution().row_dual)

    @property
    def cost(self) -> float:
        """Value of the solution."""
        return float(self._highs.getInfo().objective_function_value)

    @staticmethod
    def _checked(status: highspy.HighsStatus) -> None:
        if status == highspy.HighsStatus.kError:
            raise SolverError("the solver broke off")
