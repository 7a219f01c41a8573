"""One line for each kind of failure."""

import logging

from flask import Flask, Response
from werkzeug.exceptions import HTTPException

_log = logging.getLogger(__name__)

LINES = {
    400: "The request lacks something; the gateway sends MessageSid and From, or MessageStatus.",
    403: "The signature is missing or wrong: check the gateway's token and SOAKBELL_PUBLIC_URL.",
    404: "There is nothing here.",
    405: "Not in this way: webhooks are POST, pages are GET.",
    413: "The request is larger than any text can be.",
}
OURS = "Something went wrong on our side. It is in the log; a text is fetched again from there."


def answer_errors(app: Flask) -> None:
    app.register_error_handler(HTTPException, _refused)
    app.register_error_handler(Exception, _failed)


def _refused(error: Exception) -> Response:
    code = (error.code if isinstance(error, HTTPException) else None) or 500
    return _line(code, LINES.get(code, OURS if code >= 500 else "The request was refused."))  # noqa: PLR2004


def _failed(error: Exception) -> Response:
    """Whatever else: the gateway asks again, or we ask it for what we missed."""
    _log.error("a request failed: %s", type(error).__name__, exc_info=error)
    return _line(500, OURS)


def _line(code: int, words: str) -> Response:
    return Response(f"{words}\n", code, mimetype="text/plain")
