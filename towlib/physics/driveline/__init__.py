"""What turns in a driveline."""
