"""Both databases: one lock, one unit of work, rows that say what the entries say."""
