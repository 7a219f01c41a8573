"""What is said, in the reader's language."""
