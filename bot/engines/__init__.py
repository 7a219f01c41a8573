"""What wakes us up. Each process may have one; rows are claimed, so any number may run."""
