"""The tables of the catalog as queries see them; `migrations` makes them.

What people filter by has a typed column; everything a part holds is in `params`. A column without a value is unknown.
"""

from sqlalchemy import BigInteger, Column, Float, ForeignKey, Integer, MetaData, String, Table

METADATA = MetaData()

FILTERS: dict[str, tuple[str, str]] = {
    "channels": ("channels", ""),
    "current_all_a": ("current_all_a", ""),
    "current_limit_min_a": ("current_limit_a", "min"),
    "rds_on_typ_ohm": ("rds_on_ohm", "typ"),
    "rds_on_max_ohm": ("rds_on_ohm", "max"),
    "theta_ja_k_per_w": ("theta_ja_k_per_w", ""),
    "operating_min_v": ("operating_min_v", ""),
    "operating_max_v": ("operating_max_v", ""),
    "absolute_max_v": ("absolute_max_v", ""),
    "standby_typ_a": ("standby_current_a", "typ"),
    "standby_max_a": ("standby_current_a", "max"),
    "gpio_pins": ("gpio_pins", ""),
    "pwm_pins": ("pwm_pins", ""),
    "adc_pins": ("adc_pins", ""),
    "can_ports": ("can_ports", ""),
    "lin_ports": ("lin_ports", ""),
    "ports": ("ports", ""),
    "output_v": ("output_v", ""),
    "output_current_a": ("output_current_a", ""),
    "drain_source_v": ("drain_source_v", ""),
    "ways": ("ways", ""),
}
"""Typed columns: the field of a part that each holds, and which of min, typ, max where the field is a parameter."""

COUNTS = frozenset(("channels", "gpio_pins", "pwm_pins", "adc_pins", "can_ports", "lin_ports", "ports", "ways"))
"""Those of them that are whole numbers."""

PART = Table(
    "part",
    METADATA,
    Column("id", BigInteger, primary_key=True),
    Column("key", String, nullable=False),
    Column("kind", String, nullable=False),
    Column("family", String, nullable=False),
    Column("maker", String, nullable=False),
    Column("mpn", String, nullable=False),
    # Letters and digits only, in capitals: a part number is found however its separators are written.
    Column("mpn_normal", String, nullable=False),
    Column("description", String, nullable=False),
    Column("package", String, nullable=False),
    Column("grade", String),
    Column("life_cycle", String),
    Column("safety", String),
    Column("origin", String, nullable=False),
    Column("origin_version", String, nullable=False),
    *(Column(name, BigInteger if name in COUNTS else Float) for name in FILTERS),
    Column("search_text", String, nullable=False),
    Column("params", String, nullable=False),
)

PRICE = Table(
    "price",
    METADATA,
    Column("part_id", BigInteger, ForeignKey("part.id", ondelete="CASCADE"), primary_key=True),
    Column("quantity", BigInteger, primary_key=True),
    # For filters and orders only; the price as quoted is in `params`.
    Column("micro", BigInteger, nullable=False),
    Column("currency", String, nullable=False),
)

STEP = Table(
    "step",
    METADATA,
    Column("id", BigInteger, primary_key=True, autoincrement=False),
    Column("made_at", String, nullable=False),
    Column("label", String, nullable=False),
    Column("undone", BigInteger, nullable=False),
)
"""Steps in which people have changed parts."""

CHANGE = Table(
    "change",
    METADATA,
    Column("step_id", BigInteger, ForeignKey("step.id"), primary_key=True),
    Column("key", String, primary_key=True),
    # What the part was; all three without a value where it was not there.
    Column("before_origin", String),
    Column("before_version", String),
    Column("before_params", String),
    # What tells whether it is still what the step made of it; without a value where the step took it out.
    Column("after_digest", String),
)

SEARCH = Table("part_search", MetaData(), Column("rowid", Integer, primary_key=True), Column("search_text", String))
"""Text index over `part.search_text` by fragments of three characters; the database keeps it in step."""

SCHEMA_VERSION = Table("schema_version", METADATA, Column("version", Integer, primary_key=True, autoincrement=False))

SHIPPED = Table("shipped", METADATA, Column("content_hash", String, primary_key=True))
"""Which shipped catalog the shipped rows were taken from; at most one row."""
