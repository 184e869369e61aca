"""The library behind the flat-tow workbook: physics in SI floats, units only at the edge."""

__version__ = "0.1.0"
