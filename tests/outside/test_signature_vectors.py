"""The gateway's webhook signature, against its library's own published vector.

Source of the first: twilio/twilio-python, tests/unit/test_request_validator.py. Source of the
second: an older page of the gateway's guide to securing webhooks. The third scheme has no
published vector yet: there the library's validator is the reference.
"""

import pytest
from twilio.request_validator import HMAC_SHA256, RequestValidator

from tests.kit import signing

TOKEN = "12345"  # noqa: S105 - the vector's own
URL = "https://mycompany.com/myapp.php?foo=1&bar=2"
CALL = {
    "CallSid": "CA1234567890ABCDE",
    "Digits": "1234",
    "From": "+14158675309",
    "To": "+18005551212",
    "Caller": "+14158675309",
}
OLDER_CALL = CALL | {"From": "+12349013030", "Caller": "+12349013030"}

VECTORS = [(CALL, "RSOYDt4T1cUTdK1PDd93/VVr8B8="), (OLDER_CALL, "0/KCTR6DLpKmkAf8muzZqo1nDgQ=")]


@pytest.mark.parametrize(("form", "signature"), VECTORS)
def test_the_published_signature_is_the_one_that_our_stand_in_makes(
    form: dict[str, str], signature: str
) -> None:
    assert signing.signature(TOKEN, URL, form) == signature


@pytest.mark.parametrize(("form", "signature"), VECTORS)
def test_the_published_signature_is_believed_and_no_other(
    form: dict[str, str], signature: str
) -> None:
    validator = RequestValidator(TOKEN)

    assert validator.validate(URL, form, signature) is True
    assert validator.validate(URL, form | {"Digits": "1235"}, signature) is False
    assert validator.validate(URL.replace("foo=1", "foo=2"), form, signature) is False


def test_the_newer_scheme_of_the_stand_in_is_believed_by_the_library() -> None:
    headers = signing.signed_sha256(TOKEN, URL, CALL)

    is_valid = RequestValidator(TOKEN).validate(
        URL, CALL, headers[signing.SIGNATURE], algorithm=HMAC_SHA256
    )

    assert is_valid is True
