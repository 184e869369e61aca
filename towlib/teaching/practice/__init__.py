"""What the reader answers, and the handouts."""
