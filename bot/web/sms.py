"""/sms/inbound and /sms/status; the signature is checked here."""

import json
from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint, Request, Response, abort, request
from twilio.request_validator import (
    SIGNATURE_HEADER,
    SIGNATURE_SETTINGS_HEADER,
    RequestValidator,
    get_signature_algorithm,
)
from twilio.twiml.messaging_response import MessagingResponse

from bot.inbox import Inbound
from bot.outbox.status import Report, receive, tell_facts
from bot.settings import Secret
from bot.wiring import Bot

NOTHING_TO_SAY = str(MessagingResponse())
"""Answers are texts of their own, from the outbox: an answer given here could be lost unseen."""

PERSONAL = ("Body", "From", "To", "ProfileName", "WaId", "MediaUrl")
"""Beginnings of fields that are not kept: words, numbers, names, and what tells where they are."""


@dataclass(frozen=True, slots=True)
class Webhooks:
    """How the gateway reaches us, and the tokens of which any may have signed (rotation).

    Signatures are made over the public address, whatever a proxy calls us.
    """

    public_url: str
    tokens: tuple[Secret, ...]


def sms(bot: Bot, webhooks: Webhooks) -> Blueprint:
    page = Blueprint("sms", __name__, url_prefix="/sms")
    validators = tuple(RequestValidator(token) for token in webhooks.tokens)

    @page.before_request
    def check_signature() -> None:
        if not is_signed(request, webhooks.public_url, validators):
            abort(403)

    @page.post("/inbound")
    def inbound() -> Response:
        """S10: the gateway may bring a text for a day; the inbox takes each once."""
        bot.exchange.text(read_inbound(request.form.to_dict(), bot.clock.now()))
        return Response(NOTHING_TO_SAY, mimetype="text/xml")

    @page.post("/status")
    def status() -> Response:
        """A report on a text of nobody is taken too: the gateway could do nothing about it."""
        report = read_report(request.form.to_dict(), request.args.get("ref", ""))
        receive(bot.store, report, bot.secret, bot.clock.now())
        tell_facts(bot.store, bot.exchange.fact, bot.clock)
        return Response(status=204)

    return page


def is_signed(asked: Request, public_url: str, validators: tuple[RequestValidator, ...]) -> bool:
    """Whether the gateway signed this very request; without the header the body is not read."""
    signature = asked.headers.get(SIGNATURE_HEADER, "")
    if not signature:
        return False
    query = asked.query_string.decode("latin-1")
    url = public_url.rstrip("/") + asked.path + (f"?{query}" if query else "")
    algorithm = get_signature_algorithm(asked.headers.get(SIGNATURE_SETTINGS_HEADER, ""))
    return any(
        validator.validate(url, asked.form, signature, algorithm=algorithm)
        for validator in validators
    )


def read_inbound(form: dict[str, str], now: datetime) -> Inbound:
    """A webhook's form as a text; aborts with 400 where it is not one.

    The webhook does not say when the text was sent: its arrival is all the evidence there is.
    """
    sid, sender = form.get("MessageSid", "").strip(), form.get("From", "").strip()
    if not (sid and sender):
        abort(400)
    channel, _, number = sender.rpartition(":")
    return Inbound(
        sid=sid,
        number=number,
        body=form.get("Body", ""),
        arrived_at=now,
        sent_at=None,
        channel=channel or "sms",
        raw=json.dumps(
            {name: value for name, value in form.items() if not name.startswith(PERSONAL)},
            sort_keys=True,
        ),
    )


def read_report(form: dict[str, str], reference: str) -> Report:
    """A delivery report's form; aborts with 400 where it is not one."""
    sid, status = form.get("MessageSid", "").strip(), form.get("MessageStatus", "").strip()
    if not (sid and status):
        abort(400)
    return Report(sid, status, reference, form.get("ErrorCode") or None)
