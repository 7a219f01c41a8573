"""Environment -> Settings; every missing or wrong setting named at once."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar
from urllib.parse import urlsplit

T = TypeVar("T")

SHORTEST_SECRET = 32
"""Characters: 128 bits and more, however they were drawn."""

_ACCOUNT = re.compile(r"AC[0-9a-fA-F]{32}")
_NUMBER = re.compile(r"\+[1-9][0-9]{6,14}")
_MOST_TOKENS = 2


class WrongSettings(Exception):
    """What is missing or wrong; one line a setting."""

    def __init__(self, problems: tuple[str, ...]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


class Secret(str):
    """A string that does not show itself when it, or what holds it, is printed or logged."""

    __slots__ = ()

    def __repr__(self) -> str:
        return "'***'"


@dataclass(frozen=True, slots=True)
class GatewaySettings:
    account: str
    tokens: tuple[Secret, ...]
    """Newest first: the first signs what goes out, any of them what comes in (rotation)."""
    number: str
    api_base: str | None


@dataclass(frozen=True, slots=True)
class Settings:
    database_url: Secret
    """A secret, because a PostgreSQL address may bear a password."""
    public_url: str
    """How the gateway reaches us, without a slash at its end."""
    secret_key: Secret
    gateway: GatewaySettings


def read_settings(environment: Mapping[str, str]) -> Settings:
    """Settings for a bot that texts. Raises WrongSettings with all that is missing or wrong."""
    reading = _Reading(environment)
    settings = Settings(
        database_url=reading.read("SOAKBELL_DATABASE_URL", _database, DATABASE_WANTED),
        public_url=reading.read("SOAKBELL_PUBLIC_URL", _public_url, PUBLIC_URL_WANTED),
        secret_key=reading.read("SOAKBELL_SECRET_KEY", _secret, SECRET_WANTED),
        gateway=GatewaySettings(
            account=reading.read("TWILIO_ACCOUNT_SID", _matching(_ACCOUNT), ACCOUNT_WANTED),
            tokens=reading.read("TWILIO_AUTH_TOKEN", _tokens, TOKEN_WANTED),
            number=reading.read("TWILIO_FROM", _matching(_NUMBER), NUMBER_WANTED),
            api_base=reading.read_if_set("TWILIO_API_BASE", _api_base, API_BASE_WANTED),
        ),
    )
    if reading.problems:
        raise WrongSettings(tuple(reading.problems))
    return settings


def read_database_url(environment: Mapping[str, str]) -> Secret:
    """The one setting of commands that text nobody. Raises WrongSettings."""
    reading = _Reading(environment)
    url = reading.read("SOAKBELL_DATABASE_URL", _database, DATABASE_WANTED)
    if reading.problems:
        raise WrongSettings(tuple(reading.problems))
    return url


DATABASE_WANTED = (
    "it says where the record is. Example: sqlite:////var/lib/soakbell/soakbell.db, "
    "or postgresql://soakbell@db.example.org/soakbell"
)
PUBLIC_URL_WANTED = (
    "signatures cannot be checked without it. Example: https://bot.example.org, "
    "with nothing behind the host but a path"
)
SECRET_WANTED = (
    f"at least {SHORTEST_SECRET} characters that nobody knows. Make one with: openssl rand -hex 32"
)
ACCOUNT_WANTED = "the gateway's name for your account: AC and 32 hexadecimal digits"
TOKEN_WANTED = (
    "the gateway's token for your account; "  # noqa: S105 - words about one
    "while you change it, the new one, a comma, the old one"
)
NUMBER_WANTED = "the number that texts come from, in international form. Example: +15005550006"
API_BASE_WANTED = (
    "it is only for another gateway that speaks the same language. Example: http://127.0.0.1:4010"
)


class _Reading:
    """One reading of the environment, and what was wrong with it."""

    def __init__(self, environment: Mapping[str, str]) -> None:
        self._environment = environment
        self.problems: list[str] = []

    def read(self, name: str, reads: Callable[[str], T | None], wanted: str) -> T:
        raw = self._environment.get(name, "").strip()
        value = reads(raw) if raw else None
        if value is None:
            self.problems.append(f"{name} is {'wrong' if raw else 'not set'}; {wanted}.")
        # None gets no further than the report of problems.
        return value  # type: ignore[return-value]

    def read_if_set(self, name: str, reads: Callable[[str], T | None], wanted: str) -> T | None:
        if not self._environment.get(name, "").strip():
            return None
        return self.read(name, reads, wanted)


def _database(raw: str) -> Secret | None:
    scheme, _, rest = raw.partition("://")
    kind = scheme.partition("+")[0]
    return Secret(raw) if kind in {"sqlite", "postgresql"} and rest.strip("/") else None


def _public_url(raw: str) -> str | None:
    parts = urlsplit(raw)
    bare = not (parts.query or parts.fragment)
    return raw.rstrip("/") if parts.scheme in {"http", "https"} and parts.netloc and bare else None


def _secret(raw: str) -> Secret | None:
    return Secret(raw) if len(raw) >= SHORTEST_SECRET else None


def _tokens(raw: str) -> tuple[Secret, ...] | None:
    tokens = tuple(Secret(token.strip()) for token in raw.split(","))
    return tokens if all(tokens) and len(tokens) <= _MOST_TOKENS else None


def _matching(pattern: re.Pattern[str]) -> Callable[[str], str | None]:
    return lambda raw: raw if pattern.fullmatch(raw) else None


def _api_base(raw: str) -> str | None:
    parts = urlsplit(raw)
    return raw.rstrip("/") if parts.scheme in {"http", "https"} and parts.netloc else None
