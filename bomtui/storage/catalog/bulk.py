"""Many rows at once."""

from collections.abc import Sequence
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Table, insert


def insert_all(connection: Connection, table: Table, rows: Sequence[dict[str, Any]]) -> None:
    """Insert rows that name the same columns, at least two of them; nothing where there are none.

    Args:
        connection: Inside a transaction.
        table: Where they go; its columns hold what a driver takes as it is (text, numbers, nothing).
        rows: A value for each column named.
    """
    if not rows:
        return
    statement = insert(table)
    compiled = statement.compile(dialect=connection.dialect, column_keys=list(rows[0]))
    if compiled.positiontup:
        # Handed to the driver directly: the statement's own way of looking at each row takes as long as writing it.
        values = itemgetter(*compiled.positiontup)
        connection.exec_driver_sql(str(compiled), [values(row) for row in rows])
    else:
        connection.execute(statement, rows)
