"""Plain functions of SI floats; the unit is in every name. Nothing here knows files, pint, figures or
widgets.
"""
