"""The whole trip: every limit both ways, in many cases, and what the driver is told."""
