"""Figures, panels, exercises and the printed sheet: everything a reader looks at."""
