"""Safety chains."""
