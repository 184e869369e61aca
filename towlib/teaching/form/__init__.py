"""The form for a rig, and the measuring sheet with its drawings."""
