"""How one entry holds on to the one before it."""

from hashlib import sha256


def link(prev: str, body: str) -> str:
    """SHA-256 over the 64 hexadecimal digits of *prev* and the UTF-8 bytes of *body*, as digits.

    So anybody can check a chain: printf '%s%s' "$prev" "$body" | sha256sum.
    """
    return sha256(prev.encode("ascii") + body.encode("utf-8")).hexdigest()
