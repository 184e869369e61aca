"""Published values, a source on every row."""
