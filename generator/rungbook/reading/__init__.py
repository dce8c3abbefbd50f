"""Text in, located records out: YAML with a place for every value, schema, units, variations."""
