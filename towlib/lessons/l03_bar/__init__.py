"""Lesson 03: bar loads and attachment."""
