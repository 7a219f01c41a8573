"""Protocol files: what loads, what does not, and what a site may change."""
