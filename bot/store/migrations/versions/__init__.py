"""One file a change of the tables, in order."""
