"""One line for each kind of failure."""

from flask import Flask, Response
from werkzeug.exceptions import HTTPException

LINES = {
    400: "The request lacks something; the gateway sends MessageSid and From, or MessageStatus.",
    403: "The signature is missing or wrong: check the gateway's token and SOAKBELL_PUBLIC_URL.",
    404: "There is nothing here.",
    405: "Not in this way: webhooks are POST, pages are GET.",
    413: "The request is larger than any text can be.",
}
OURS = "Something went wrong on our side. It is in the log; a text is fetched again from there."


def answer_errors(app: Flask) -> None:
    """Refusals and faults alike; Flask writes a fault into the log before it gets here."""
    app.register_error_handler(HTTPException, _refused)


def _refused(error: Exception) -> Response:
    code = (error.code if isinstance(error, HTTPException) else None) or 500
    return _line(code, LINES.get(code, OURS if code >= 500 else "The request was refused."))  # noqa: PLR2004


def _line(code: int, words: str) -> Response:
    return Response(f"{words}\n", code, mimetype="text/plain")
