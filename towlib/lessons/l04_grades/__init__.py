"""Lesson 04: grade physics."""
