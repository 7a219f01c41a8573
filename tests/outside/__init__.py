"""Against the world outside: each test names its published source."""
