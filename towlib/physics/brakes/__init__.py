"""Brake heat and stopping."""
