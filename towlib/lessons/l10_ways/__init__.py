"""Lesson 10: ways to tow."""
