"""A written reason for what is laxer than published: words that say why, no sign for them."""

LEAST = 3
"""Words, each another one. Source: own rule, none published."""


def is_reason(written: str) -> bool:
    """Whether *written* can say why, in whatever language: each of its words has a letter."""
    words = {each.casefold() for each in written.split() if any(map(str.isalpha, each))}
    return len(words) >= LEAST


def says_too_little(written: str) -> str:
    """What is wrong with a reason that is no more than a sign or a word; empty for any other.

    One that is missing says nothing at all: that is for whoever asks for it.
    """
    said = " ".join(written.split())
    if not said or is_reason(said):
        return ""
    return f'"{said}", says too little; write three words or more'
