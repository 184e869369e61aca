"""Lesson 07: turning and running straight."""
