"""Gravity, air, rolling, and numbers of many cases."""
