"""A browser without a script, on the machine of the demo."""

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from bot import wiring
from bot.web import create_app
from bot.web.phone import phone
from bot.web.phones import Phones

SIX_UTC = datetime(2026, 3, 2, 6, tzinfo=UTC)
"""Nine in the morning, a Monday, where the invented clinic is."""

HERE = "http://localhost"
ADIRA, BENNU, SHARED, ELMAR = 1, 2, 3, 4


@dataclass
class Browser:
    """A browser on this machine, and hands on the demo's clock."""

    bot: wiring.Bot
    phones: Phones
    ticks: list[float]
    web: FlaskClient = field(init=False)

    def __post_init__(self) -> None:
        self.web = create_app(self.bot, None, phone(self.phones)).test_client()

    def opens(self, place: int = ADIRA) -> str:
        return self.web.get(f"/?phone={place}").text

    def posts(self, path: str, *, script: bool = False, **form: str | int) -> TestResponse:
        accept = {"Accept": "application/json"} if script else {}
        answer = self.web.post(path, data=form, headers={"Origin": HERE, **accept})
        self.bot.sender.send_due()
        return answer

    def texts(self, body: str, place: int = ADIRA) -> TestResponse:
        return self.posts("/text", phone=place, body=body)

    def waits(self, **span: float) -> None:
        self.ticks[0] += timedelta(**span).total_seconds()

    def news(self, place: int, after: int) -> dict[str, object]:
        news: dict[str, object] = self.web.get(f"/news?phone={place}&after={after}").json
        return news

    def shown(self, place: int = ADIRA) -> list[str]:
        return re.findall(r'<p class="body">(.*?)</p>', self.opens(place))
