"""The rig file: its model, its values as facts, and how it is kept."""
