"""The web phone: what it shows and takes, and from whom."""
