"""Lamps, wires and the battery."""
