"""Nobody but the gateway gets through its doors."""

import pytest

from bot.web import Webhooks
from tests.kit.gateway import TOKEN
from tests.kit.signing import SETTINGS, SIGNATURE, signed, signed_sha256
from tests.web.clinic import INBOUND, PUBLIC, STATUS, WEBHOOKS, Clinic, text

URL = PUBLIC + INBOUND


def test_either_of_the_two_tokens_opens(door: Clinic) -> None:
    """While a token is changed both are in use."""
    answers = [
        door.knocks(text(sid=f"SM{n}"), signed(token, URL, text(sid=f"SM{n}"))).status_code
        for n, token in enumerate(WEBHOOKS.tokens)
    ]

    assert answers == [200, 200]
    assert len(door.taken_in()) == 2


def test_the_newer_scheme_opens_too(door: Clinic) -> None:
    answer = door.knocks(text(), signed_sha256(TOKEN, URL, text()))

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
    door: Clinic, headers: dict[str, str]
) -> None:
    answer = door.knocks(text(), headers)

    assert answer.status_code == 403
    assert door.taken_in() == []


def test_a_report_is_checked_like_a_text(door: Clinic) -> None:
    form = {"MessageSid": "SM1", "MessageStatus": "failed"}

    answer = door.knocks(form, signed(TOKEN, URL, form), path=STATUS)

    assert answer.status_code == 403


def test_the_reference_is_covered_by_the_signature(door: Clinic) -> None:
    form = {"MessageSid": "SM1", "MessageStatus": "failed"}
    over_another = signed(TOKEN, f"{PUBLIC}{STATUS}?ref=1.aa", form)

    answer = door.knocks(form, over_another, path=f"{STATUS}?ref=2.bb")

    assert answer.status_code == 403


def test_a_proxy_s_own_name_for_us_does_not_matter(door: Clinic) -> None:
    """The gateway signs the address that it knows, and the proxy calls us by another."""
    answer = door.knocks(text(), base_url="http://127.0.0.1:8000")

    assert answer.status_code == 200


def test_a_public_address_may_have_a_path_that_the_proxy_takes_away(door: Clinic) -> None:
    door.web = door.client(Webhooks("https://bot.example.org/probe", WEBHOOKS.tokens))
    headers = signed(TOKEN, "https://bot.example.org/probe/sms/inbound", text())

    assert door.knocks(text(), headers).status_code == 200


def test_a_request_for_another_host_is_refused(door: Clinic) -> None:
    answer = door.knocks(text(), base_url="https://evil.example.com")

    assert answer.status_code == 400
    assert door.taken_in() == []


def test_without_a_gateway_there_are_no_such_doors(door: Clinic) -> None:
    door.web = door.client(None)

    assert door.knocks(text()).status_code == 404
