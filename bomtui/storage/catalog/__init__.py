"""The catalog of parts in one SQLite file; the only place that knows a database."""

from bomtui.storage.catalog.catalog import BuildReport, Catalog, Page, Row, open_catalog
from bomtui.storage.catalog.engine import CatalogError
from bomtui.storage.catalog.rows import ORIGINS

__all__ = ["ORIGINS", "BuildReport", "Catalog", "CatalogError", "Page", "Row", "open_catalog"]
