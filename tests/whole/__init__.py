"""Real processes, real time, a real browser: few tests, and the slowest."""
