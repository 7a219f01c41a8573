"""How the tables write down what was not understood."""

from flows.replies import NotUnderstood


def hint(read: object) -> object:
    """Return `near:WORD` or the hint of a NotUnderstood, anything else as it is."""
    if not isinstance(read, NotUnderstood):
        return read
    return f"{read.hint}:{read.near}" if read.near else read.hint
