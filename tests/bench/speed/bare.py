"""The least that any bot must do with a text: check the signature, commit one ORM row, answer."""

from datetime import datetime

from flask import Flask, Response, abort, request
from sqlalchemy.orm import DeclarativeBase, Mapped, Session, mapped_column
from twilio.request_validator import RequestValidator

from bot.clock import machine_time
from bot.settings import Settings
from bot.store.engine import open_store
from bot.store.tables.metadata import UTCDateTime
from bot.web.sms import NOTHING_TO_SAY, Webhooks, is_signed, read_inbound


class Base(DeclarativeBase):
    pass


class BareText(Base):
    __tablename__ = "bare_text"
    id: Mapped[int] = mapped_column(primary_key=True)
    sid: Mapped[str] = mapped_column(unique=True)
    number: Mapped[str]
    body: Mapped[str]
    raw: Mapped[str]
    arrived_at: Mapped[datetime] = mapped_column(UTCDateTime)


def bare_app(settings: Settings, webhooks: Webhooks) -> Flask:
    """On the product's own writing engine: the same settings, and the same line of writers."""
    store = open_store(settings.database_url)
    Base.metadata.create_all(store.writing)
    validators = tuple(RequestValidator(token) for token in webhooks.tokens)
    app = Flask(__name__)

    @app.post("/sms/inbound")
    def inbound() -> Response:
        if not is_signed(request, webhooks.public_url, validators):
            abort(403)
        text = read_inbound(request.form.to_dict(), machine_time())
        row = BareText(
            sid=text.sid,
            number=text.number,
            body=text.body,
            raw=text.raw,
            arrived_at=text.arrived_at,
        )
        with store.turn(), Session(store.writing) as session, session.begin():
            session.add(row)
        return Response(NOTHING_TO_SAY, mimetype="text/xml")

    return app
