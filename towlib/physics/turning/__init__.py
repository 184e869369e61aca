"""Circles, paths, backing, steering and running straight."""
