"""Write the published JSON Schemas anew from the records: `python -m tests.export.write_schemas`."""

from bomtui.export.schema import RECORDS, schema_bytes, schema_path


def main() -> None:
    """Write every schema file."""
    for name in RECORDS:
        path = schema_path(name)
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(schema_bytes(name))


if __name__ == "__main__":
    main()
