"""Lesson 02: hitch geometry."""
