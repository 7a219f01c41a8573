"""One suite an interface, run against every implementation."""
