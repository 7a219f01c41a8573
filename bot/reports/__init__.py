"""Questions asked of the record. They read, they never write."""
