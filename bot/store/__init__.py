"""SQLAlchemy, and nothing that decides."""
