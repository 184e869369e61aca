"""Lesson 11: the trip sheet."""
