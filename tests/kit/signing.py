"""Signs a webhook as the gateway does, without the gateway's library.

HMAC over the whole URL followed by each field's name and value in order of name, base64.
Source: the gateway's guide to securing webhooks; tests/outside holds its published vector.
"""

import hmac
from base64 import b64encode
from collections.abc import Mapping
from hashlib import sha1, sha256

SIGNATURE = "X-Twilio-Signature"
SETTINGS = "X-Twilio-Webhooks-Signature-Settings"


def signature(token: str, url: str, form: Mapping[str, str]) -> str:
    return _mac(token, url, form, "sha1")


def signed(token: str, url: str, form: Mapping[str, str]) -> dict[str, str]:
    """The header of a webhook in the scheme that every account has."""
    return {SIGNATURE: signature(token, url, form)}


def signed_sha256(token: str, url: str, form: Mapping[str, str]) -> dict[str, str]:
    """The headers of a webhook in the newer scheme, with a key of its own."""
    return {
        SIGNATURE: _mac(token, url, form, "sha256"),
        SETTINGS: "key=webhooks_sharedkey_1,algorithm=HMAC_SHA256",
    }


def _mac(token: str, url: str, form: Mapping[str, str], digest: str) -> str:
    said = url + "".join(name + form[name] for name in sorted(form))
    made = hmac.new(token.encode(), said.encode(), {"sha1": sha1, "sha256": sha256}[digest])
    return b64encode(made.digest()).decode()
