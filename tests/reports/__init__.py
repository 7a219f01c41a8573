"""Reports: what is found in the record, and that finding it changes nothing."""
