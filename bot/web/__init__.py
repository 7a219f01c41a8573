"""create_app: the Flask application."""

from urllib.parse import urlsplit

from flask import Blueprint, Flask

from bot.web.errors import answer_errors
from bot.web.health import health
from bot.web.sms import Webhooks, sms
from bot.wiring import Bot

__all__ = ["Webhooks", "create_app"]

LARGEST_REQUEST = 64 * 1024
"""Bytes. A text with all that the gateway says about it takes some two thousand."""

THIS_MACHINE = ("127.0.0.1", "localhost")


def create_app(bot: Bot, webhooks: Webhooks | None = None, *pages: Blueprint) -> Flask:
    """What the web shows of a bot: always its health; the gateway's webhooks, where there is one.

    *pages* are what else is to be seen, the web phone for one.
    """
    app = Flask(__name__)
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_REQUEST
    # A request for any other host is none of ours: its address must not get into an answer.
    app.config["TRUSTED_HOSTS"] = list(THIS_MACHINE)
    app.register_blueprint(health(bot))
    if webhooks is not None:
        app.config["TRUSTED_HOSTS"].append(urlsplit(webhooks.public_url).hostname)
        app.register_blueprint(sms(bot, webhooks))
    for page in pages:
        app.register_blueprint(page)
    answer_errors(app)
    return app
