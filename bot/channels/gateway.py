"""The SMS gateway's REST client."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import requests
from twilio.base.exceptions import (
    TwilioRestException,
    TwilioServiceException,
)
from twilio.http.http_client import TwilioHttpClient
from twilio.http.response import Response
from twilio.rest import Client
from urllib3.exceptions import MaxRetryError, NewConnectionError

from bot.outbox.channel import Accepted, Later, Never, NotSent, Unknown
from bot.outbox.codes import TOO_MANY_REQUESTS, Verdict, meaning_of, verdict_of

TIMEOUT_S = 10
"""The library's own default is to wait for ever."""

LONGEST_BODY = 1600
"""Characters. Source: the gateway's page on error 21617."""

SHORTEST_VALIDITY = timedelta(seconds=60)
"""A text that leaves its queue at all needs some seconds there. Source: common practice, none
published; the gateway itself advises more than 5 s."""

LONGEST_VALIDITY = timedelta(seconds=36_000)
"""Source: the gateway's description, ValidityPeriod of a message: 1 to 36000 s."""

LOOK_BACK = timedelta(hours=1)
"""A text may be listed later than it was sent, and clocks differ."""

CLOCKS_DIFFER = timedelta(minutes=2)

ENOUGH_TEXTS = 50
"""To one phone between a lost answer and its look-up: fewer than the loop guard lets through."""


@dataclass(frozen=True, slots=True)
class Account:
    """The gateway's account: its name, its token, our number there, and where its API is."""

    sid: str
    token: str
    number: str
    api_base: str | None = None

    def __repr__(self) -> str:
        return f"Account(sid={self.sid!r}, number={self.number!r}, api_base={self.api_base!r})"


@dataclass(frozen=True, slots=True)
class Missed:
    """A text that reached the gateway, as the gateway lists it; its date is the evidence (S2)."""

    sid: str
    number: str
    body: str
    sent_at: datetime


class Gateway:
    """Texts out by REST; texts in that the webhook missed, by asking."""

    def __init__(self, account: Account, status_url: str, timeout_s: float = TIMEOUT_S) -> None:
        self._number = account.number
        self._status_url = status_url
        self._client = Client(account.sid, account.token, http_client=_Line(timeout=timeout_s))
        if account.api_base:
            self._client.api.base_url = account.api_base

    def send(self, to_number: str, body: str, callback_ref: str, valid_for: timedelta) -> Accepted:
        if len(body) > LONGEST_BODY:
            raise Never(f"{len(body)} characters; the gateway takes {LONGEST_BODY}", "21617")
        validity = min(max(valid_for, SHORTEST_VALIDITY), LONGEST_VALIDITY)
        try:
            message = self._client.messages.create(
                to=to_number,
                from_=self._number,
                body=body,
                status_callback=f"{self._status_url}?ref={callback_ref}",
                validity_period=int(validity.total_seconds()),
            )
        except (TwilioRestException, TwilioServiceException, requests.RequestException) as error:
            raise _translated(error) from error
        except ValueError as error:
            raise Unknown("the gateway's answer could not be read") from error
        return Accepted(message.sid)

    def look_up(
        self, to_number: str, body: str, callback_ref: str, since: datetime, known: frozenset[str]
    ) -> Accepted | None:
        """The gateway lists neither our reference nor a key of ours: number, words and time do.

        No filter by date: a text still in its queue has none yet.
        """
        del callback_ref
        listed = self._listed(to=to_number, from_=self._number, limit=ENOUGH_TEXTS)
        for message in reversed(listed):
            is_ours = message.body == body and message.sid not in known
            if is_ours and _moment(message) >= since - CLOCKS_DIFFER:
                return Accepted(message.sid)
        return None

    def missed(self, since: datetime) -> list[Missed]:
        """Texts sent to us since an hour before *since*, oldest first. Raises Later.

        The gateway does not bring a text again when our webhook failed.
        """
        listed = self._listed(to=self._number, date_sent_after=since - LOOK_BACK)
        arrived = [
            Missed(message.sid, message.from_, message.body or "", _moment(message))
            for message in listed
            if message.direction == "inbound"
        ]
        return sorted(arrived, key=lambda text: text.sent_at)

    def _listed(self, **wanted: Any) -> list[Any]:
        try:
            return list(self._client.messages.list(**wanted))
        except (TwilioRestException, TwilioServiceException, requests.RequestException) as error:
            raise Later(_translated(error).reason) from error
        except ValueError as error:
            raise Later("the gateway's answer could not be read") from error


class _Line(TwilioHttpClient):  # type: ignore[misc]
    """The library's HTTP client, which forgets how long a 429 asks to wait; this one says so."""

    def request(self, *arguments: Any, **named: Any) -> Response:
        answer = super().request(*arguments, **named)
        if answer.status_code == TOO_MANY_REQUESTS:
            raise Later("too many requests", "20429", retry_after=_wait_asked(answer.headers))
        return answer


def _translated(error: Exception) -> NotSent:
    """The one place where the library's exceptions, and those of its HTTP client, become ours."""
    if isinstance(error, (TwilioRestException, TwilioServiceException)):
        return _refused(str(error.code), error.status)
    if _never_reached(error):
        return Later(f"the gateway cannot be reached ({type(error).__name__})")
    return Unknown(f"the answer was lost ({type(error).__name__})")


def _refused(code: str, http_status: int) -> NotSent:
    reason = meaning_of(code) or f"refused with HTTP {http_status}, code {code}"
    match verdict_of(code, http_status):
        case Verdict.PASSING:
            return Later(reason, code)
        case Verdict.UNKNOWN:
            return Unknown(reason, code)
        case _:
            return Never(reason, code)


def _never_reached(error: Exception) -> bool:
    """Whether no byte can have left: no connection was made."""
    if isinstance(error, requests.ConnectTimeout):
        return True
    cause = error.args[0] if error.args else None
    return isinstance(cause, MaxRetryError) and isinstance(cause.reason, NewConnectionError)


def _wait_asked(headers: Any) -> timedelta | None:
    """Retry-After in whole seconds; its other form, a date, is not used for a 429 here."""
    asked = str((headers or {}).get("Retry-After", ""))
    return timedelta(seconds=int(asked)) if asked.isascii() and asked.isdigit() else None


def _moment(message: Any) -> datetime:
    """When the gateway dealt with the text; the day it was listed where it never says."""
    said: datetime = message.date_sent or message.date_created
    return said if said.tzinfo else said.replace(tzinfo=UTC)
