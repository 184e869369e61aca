"""The drawing surface and the outlines of vehicles."""
