"""Use cases: the one place that joins storage, units, engine, rules and export for every front end."""
