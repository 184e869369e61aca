"""Axle loads and weighings."""
