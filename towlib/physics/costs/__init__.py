"""What owning and towing costs."""
