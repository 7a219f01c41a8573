"""Delivery reports come in by the gateway's webhook, and what follows goes through the door."""

import pytest

from tests.web.clinic import STATUS, Clinic, text

SID = "SM" + "a" * 32


def answered(clinic: Clinic) -> int:
    """A text was sent; its id."""
    clinic.knocks(text("MENU"))
    clinic.engine.look()
    (row,) = clinic.texts()
    return int(row.id)


def report(status: str, **more: str) -> dict[str, str]:
    return {"MessageSid": SID, "MessageStatus": status, **more}


def test_a_report_is_noted_on_the_text_it_is_about(clinic: Clinic) -> None:
    outbox_id = answered(clinic)

    answer = clinic.reports(outbox_id, report("delivered"))

    (row,) = clinic.texts()
    assert (answer.status_code, answer.data) == (204, b"")
    assert row.last_status == "delivered"


def test_a_text_that_did_not_arrive_is_a_fact_in_the_record(clinic: Clinic) -> None:
    outbox_id = answered(clinic)

    clinic.reports(outbox_id, report("undelivered", ErrorCode="30003"))

    (row, *_) = clinic.texts()
    assert (row.state, row.error_code) == ("dead", "30003")
    assert clinic.happened("TextUndelivered") == 1


def test_the_same_report_twice_is_one_fact(clinic: Clinic) -> None:
    outbox_id = answered(clinic)

    for _ in range(2):
        clinic.reports(outbox_id, report("undelivered", ErrorCode="30003"))

    assert clinic.happened("TextUndelivered") == 1


def test_a_report_on_nobody_s_text_is_taken_and_changes_nothing(clinic: Clinic) -> None:
    outbox_id = answered(clinic)

    answer = clinic.knocks(report("failed"), path=f"{STATUS}?ref={outbox_id}.0000000000000000")

    (row,) = clinic.texts()
    assert answer.status_code == 204
    assert (row.state, row.last_status) == ("sent", None)


@pytest.mark.parametrize("missing", ["MessageSid", "MessageStatus"])
def test_a_form_that_is_no_report_is_refused(clinic: Clinic, missing: str) -> None:
    outbox_id = answered(clinic)
    form = {name: value for name, value in report("failed").items() if name != missing}

    answer = clinic.reports(outbox_id, form)

    assert answer.status_code == 400
