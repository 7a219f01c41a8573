"""Settings from the environment."""
