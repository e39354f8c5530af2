"""The catalog of parts, in a SQLite file or on a PostgreSQL server; the only place that knows a database."""

from bomtui.storage.catalog.answers import BuildReport, Page, Row
from bomtui.storage.catalog.catalog import Catalog, bring_up_to_date, open_catalog
from bomtui.storage.catalog.faults import CatalogError, ConflictError, ReadOnlyError
from bomtui.storage.catalog.rows import ORIGINS, normal_mpn

__all__ = [
    "ORIGINS",
    "BuildReport",
    "Catalog",
    "CatalogError",
    "ConflictError",
    "Page",
    "ReadOnlyError",
    "Row",
    "bring_up_to_date",
    "normal_mpn",
    "open_catalog",
]
