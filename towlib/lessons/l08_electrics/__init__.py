"""Lesson 08: lights and battery."""
