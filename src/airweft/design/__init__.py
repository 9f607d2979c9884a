"""The design file: schema, reading, checking."""
