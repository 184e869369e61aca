"""The machinery of the notebooks: panels, the form, practice."""
