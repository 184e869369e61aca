"""Lesson 06: safety chain layout."""
