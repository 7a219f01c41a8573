"""What wakes us up."""
