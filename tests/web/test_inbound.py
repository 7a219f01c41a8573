"""A text comes in by the gateway's webhook: once, whole, and answered by a text of its own."""

import json
from xml.etree import ElementTree as ET

import pytest

from tests.web.clinic import PHONE, Clinic, text


def test_a_text_goes_through_the_door_and_its_answer_goes_out_by_itself(clinic: Clinic) -> None:
    answer = clinic.knocks(text("MENU"))
    clinic.engine.look()

    assert answer.status_code == 200
    assert [row.body for row in clinic.taken_in()] == ["MENU"]
    assert [number for number, _ in clinic.shown] == [PHONE]


def test_the_webhook_itself_is_answered_with_no_text(clinic: Clinic) -> None:
    answer = clinic.knocks(text("MENU"))

    root = ET.fromstring(answer.data)  # noqa: S314 - our own answer
    assert answer.content_type.startswith("text/xml")
    assert (root.tag, list(root), root.text) == ("Response", [], None)


def test_S10_a_text_brought_three_times_is_handled_once(clinic: Clinic) -> None:
    answers = [clinic.knocks(text("MENU")).status_code for _ in range(3)]
    clinic.engine.look()

    assert answers == [200, 200, 200]
    assert len(clinic.taken_in()) == 1
    assert len(clinic.shown) == 1


def test_S10_the_same_words_in_another_text_are_handled_again(clinic: Clinic) -> None:
    clinic.knocks(text("MENU", "SM" + "1" * 32))
    clinic.knocks(text("MENU", "SM" + "2" * 32))

    assert len(clinic.taken_in()) == 2


def test_S14_a_stranger_gets_silence_and_the_gateway_gets_its_answer(clinic: Clinic) -> None:
    answer = clinic.knocks(text("MENU", sender="+15559999999"))
    clinic.engine.look()

    assert answer.status_code == 200
    assert clinic.shown == []
    assert clinic.taken_in() == []


def test_what_the_gateway_says_besides_is_kept_without_words_numbers_and_places(
    clinic: Clinic,
) -> None:
    form = text("MENU") | {"SomethingNew": "1", "ProfileName": "Ada", "MediaUrl0": "http://x/y"}

    clinic.knocks(form)

    (row,) = clinic.taken_in()
    assert json.loads(row.raw) == {
        "MessageSid": form["MessageSid"],
        "AccountSid": form["AccountSid"],
        "NumMedia": "0",
        "SomethingNew": "1",
    }


def test_a_number_that_comes_by_another_app_is_the_same_number(clinic: Clinic) -> None:
    clinic.knocks(text("MENU", sender=f"whatsapp:{PHONE}"))

    (row,) = clinic.taken_in()
    assert (row.phone, row.channel) == ("phone-1", "whatsapp")


def test_S2_the_arrival_is_the_evidence_where_the_webhook_has_no_date(clinic: Clinic) -> None:
    clinic.knocks(text("MENU"))

    (row,) = clinic.taken_in()
    assert (row.arrived_at, row.sent_at) == (clinic.clock.now(), None)


@pytest.mark.parametrize("body", ["", " \n ", "\u00e9\u4e2d\U0001f600", "=&+%", "a" * 1600])
def test_any_words_come_in_as_they_were_typed(clinic: Clinic, body: str) -> None:
    answer = clinic.knocks(text(body))

    assert answer.status_code == 200
    assert [row.body for row in clinic.taken_in()] == [body]


@pytest.mark.parametrize("missing", ["MessageSid", "From"])
def test_a_form_that_is_no_text_is_refused(clinic: Clinic, missing: str) -> None:
    lacking = {name: value for name, value in text().items() if name != missing}

    assert clinic.knocks(lacking).status_code == 400
    assert clinic.knocks(text() | {missing: " "}).status_code == 400
    assert clinic.taken_in() == []


def test_a_request_larger_than_any_text_is_refused_unread(clinic: Clinic) -> None:
    answer = clinic.knocks(text("x" * 64 * 1024))

    assert answer.status_code == 413
    assert clinic.taken_in() == []


def test_a_webhook_is_not_a_page(clinic: Clinic) -> None:
    answer = clinic.web.get("/sms/inbound", headers={"X-Twilio-Signature": "x"})

    assert answer.status_code == 405
