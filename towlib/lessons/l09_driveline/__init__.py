"""Lesson 09: driveline and steering."""
