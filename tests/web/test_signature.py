"""Nobody but the gateway gets through its doors."""

import pytest

from bot.web import Webhooks
from tests.kit.gateway import TOKEN
from tests.kit.signing import SETTINGS, SIGNATURE, signed, signed_sha256
from tests.web.clinic import INBOUND, PUBLIC, STATUS, WEBHOOKS, Clinic, text

URL = PUBLIC + INBOUND


def test_either_of_the_two_tokens_opens(clinic: Clinic) -> None:
    """While a token is changed both are in use."""
    answers = [
        clinic.knocks(text(sid=f"SM{n}"), signed(token, URL, text(sid=f"SM{n}"))).status_code
        for n, token in enumerate(WEBHOOKS.tokens)
    ]

    assert answers == [200, 200]
    assert len(clinic.taken_in()) == 2


def test_the_newer_scheme_opens_too(clinic: Clinic) -> None:
    answer = clinic.knocks(text(), signed_sha256(TOKEN, URL, text()))

    assert answer.status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {SIGNATURE: ""},
        {SIGNATURE: "nonsense"},
        signed("another token", URL, text()),
        signed(TOKEN, URL, text("IN 21")),
        signed(TOKEN, URL + "?x=1", text()),
        signed(TOKEN, "https://other.example.org" + INBOUND, text()),
        signed(TOKEN, PUBLIC + STATUS, text()),
        signed_sha256("another token", URL, text()),
        {**signed(TOKEN, URL, text()), SETTINGS: "key=k,algorithm=HMAC_SHA256"},
        {**signed(TOKEN, URL, text()), SETTINGS: "key=k,algorithm=NONE"},
    ],
    ids=[
        "none", "empty", "nonsense", "token", "words", "query", "host", "path", "newer token",
        "newer scheme claimed", "unknown scheme",
    ],
)  # fmt: skip
def test_any_other_signature_is_refused_and_nothing_comes_in(
    clinic: Clinic, headers: dict[str, str]
) -> None:
    answer = clinic.knocks(text(), headers)

    assert answer.status_code == 403
    assert clinic.taken_in() == []


def test_a_report_is_checked_like_a_text(clinic: Clinic) -> None:
    form = {"MessageSid": "SM1", "MessageStatus": "failed"}

    answer = clinic.knocks(form, signed(TOKEN, URL, form), path=STATUS)

    assert answer.status_code == 403


def test_the_reference_is_covered_by_the_signature(clinic: Clinic) -> None:
    form = {"MessageSid": "SM1", "MessageStatus": "failed"}
    over_another = signed(TOKEN, f"{PUBLIC}{STATUS}?ref=1.aa", form)

    answer = clinic.knocks(form, over_another, path=f"{STATUS}?ref=2.bb")

    assert answer.status_code == 403


def test_a_proxy_s_own_name_for_us_does_not_matter(clinic: Clinic) -> None:
    """The gateway signs the address that it knows, and the proxy calls us by another."""
    answer = clinic.knocks(text(), base_url="http://127.0.0.1:8000")

    assert answer.status_code == 200


def test_a_public_address_may_have_a_path_that_the_proxy_takes_away(clinic: Clinic) -> None:
    clinic.web = clinic.client(Webhooks("https://bot.example.org/probe", WEBHOOKS.tokens))
    headers = signed(TOKEN, "https://bot.example.org/probe/sms/inbound", text())

    assert clinic.knocks(text(), headers).status_code == 200


def test_a_request_for_another_host_is_refused(clinic: Clinic) -> None:
    answer = clinic.knocks(text(), base_url="https://evil.example.com")

    assert answer.status_code == 400
    assert clinic.taken_in() == []


def test_without_a_gateway_there_are_no_such_doors(clinic: Clinic) -> None:
    clinic.web = clinic.client(None)

    assert clinic.knocks(text()).status_code == 404
