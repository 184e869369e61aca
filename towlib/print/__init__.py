"""The plan as text, JSON, checklists and a sheet of paper."""
