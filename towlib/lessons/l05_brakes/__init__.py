"""Lesson 05: brake heat."""
