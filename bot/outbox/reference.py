"""Our id of a text, as it goes out in the callback address and comes back: signed."""

import hmac
from hashlib import sha256

_MAC_LENGTH = 16
"""Hex digits: 64 bits, and every guess is a request that the gateway's signature must cover."""


def sign(secret: str, outbox_id: int) -> str:
    return f"{outbox_id}.{_mac(secret, str(outbox_id))}"


def read(secret: str, reference: str) -> int | None:
    """The id, or None where we did not sign it."""
    outbox_id, _, mac = reference.partition(".")
    if not (outbox_id.isascii() and outbox_id.isdigit()):
        return None
    is_ours = hmac.compare_digest(_mac(secret, outbox_id).encode(), mac.encode())
    return int(outbox_id) if is_ours else None


def _mac(secret: str, outbox_id: str) -> str:
    made = hmac.new(secret.encode(), f"outbox {outbox_id}".encode(), sha256)
    return made.hexdigest()[:_MAC_LENGTH]
