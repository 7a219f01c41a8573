"""What we ask of the gateway, against its published OpenAPI description.

Source: twilio/twilio-oai, spec/json/twilio_api_v2010.json, a file that the one who runs the tests
brings. Requests are those that the real client sends over the wire; the answers of our stand-in
are held against the same description, so that what passes here also means something there.
"""

import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

import pytest
from openapi_core import OpenAPI
from openapi_core.datatypes import RequestParameters
from openapi_core.exceptions import OpenAPIError
from werkzeug.datastructures import Headers, ImmutableMultiDict

from bot.channels.gateway import Account, Gateway
from tests.kit.gateway import ACCOUNT, NINE, NUMBER, PAGE, TOKEN, Asked, StandIn, gateway

WHERE = "SOAKBELL_TEST_GATEWAY_DESCRIPTION"
PATHS = (
    "/2010-04-01/Accounts/{AccountSid}/Messages.json",
    "/2010-04-01/Accounts/{AccountSid}/Messages/{Sid}.json",
)
TO = "+15550000001"
FIVE_MINUTES = timedelta(minutes=5)


def only(whole: Mapping[str, Any], paths: tuple[str, ...]) -> dict[str, Any]:
    """The description cut down to *paths* and what they refer to: the whole takes long to read."""
    kept = {path: whole["paths"][path] for path in paths}
    schemas: dict[str, Any] = {}
    wanted = _referred(kept)
    while wanted:
        name = wanted.pop()
        schemas[name] = whole["components"]["schemas"][name]
        wanted |= _referred(schemas[name]) - schemas.keys()
    components = whole["components"] | {"schemas": schemas}
    return {**whole, "paths": kept, "components": components}


def _referred(part: Any) -> set[str]:
    if isinstance(part, dict):
        here = {part["$ref"].rpartition("/")[2]} if isinstance(part.get("$ref"), str) else set()
        return here.union(*(_referred(value) for value in part.values()))
    if isinstance(part, list):
        return set().union(*(_referred(value) for value in part))
    return set()


@pytest.fixture(scope="module")
def published() -> dict[str, Any]:
    where = os.environ.get(WHERE)
    if not where:
        pytest.skip(f"{WHERE} is not set: the gateway's description is not part of the project.")
    return only(json.loads(Path(where).read_text("utf-8")), PATHS)


@pytest.fixture(scope="module")
def description(published: dict[str, Any]) -> OpenAPI:
    return OpenAPI.from_dict(published)


@pytest.fixture
def carrier() -> Iterator[StandIn]:
    with gateway() as stand_in:
        yield stand_in


@pytest.fixture
def channel(carrier: StandIn) -> Gateway:
    return Gateway(Account(ACCOUNT, TOKEN, NUMBER, carrier.url), "https://bot.example.org/status")


@dataclass
class OnTheWire:
    """A request that was heard, in the form in which the checker wants it."""

    asked: Asked
    host_url: str = "https://api.twilio.com"
    parameters: RequestParameters = field(init=False)

    def __post_init__(self) -> None:
        self.parameters = RequestParameters(
            query=ImmutableMultiDict(parse_qsl(self.asked.query)),
            header=Headers(self.asked.headers),
        )

    @property
    def path(self) -> str:
        return self.asked.path

    @property
    def method(self) -> str:
        return self.asked.method.lower()

    @property
    def body(self) -> bytes | None:
        return self.asked.body.encode() or None

    @property
    def content_type(self) -> str:
        return self.asked.headers.get("Content-Type", "")


@dataclass
class Answered:
    data: bytes
    status_code: int = 200
    content_type: str = "application/json"
    headers: Headers = field(default_factory=Headers)


def test_handing_a_text_over_is_asked_as_described(
    description: OpenAPI, channel: Gateway, carrier: StandIn
) -> None:
    channel.send(TO, "Take it out now.", "1.ab", FIVE_MINUTES)

    (asked,) = carrier.asked
    description.validate_request(OnTheWire(asked))


def test_looking_a_text_up_is_asked_as_described(
    description: OpenAPI, channel: Gateway, carrier: StandIn
) -> None:
    channel.look_up(TO, "Take it out now.", "1.ab", NINE, frozenset())

    (asked,) = carrier.asked
    description.validate_request(OnTheWire(asked))
    assert dict(parse_qsl(asked.query))["To"] == TO


def test_asking_for_missed_texts_is_asked_as_described(
    description: OpenAPI, channel: Gateway, carrier: StandIn
) -> None:
    channel.missed(NINE)

    (asked,) = carrier.asked
    description.validate_request(OnTheWire(asked))
    assert dict(parse_qsl(asked.query))["DateSent>"] == "2026-03-02T08:00:00Z"


def test_the_next_page_of_missed_texts_is_asked_as_described(
    description: OpenAPI, channel: Gateway, carrier: StandIn
) -> None:
    for number in range(PAGE + 1):
        carrier.is_texted(TO, f"text {number}")

    missed = channel.missed(NINE)

    assert len(missed) == PAGE + 1
    assert [dict(parse_qsl(asked.query)).get("Page") for asked in carrier.asked] == [None, "1"]
    for asked in carrier.asked:
        description.validate_request(OnTheWire(asked))


def test_every_field_that_we_send_is_in_the_description(
    published: dict[str, Any], channel: Gateway, carrier: StandIn
) -> None:
    """The checker lets a field pass that it does not know: a misspelt one would go unnoticed."""
    channel.send(TO, "Take it out now.", "1.ab", FIVE_MINUTES)
    channel.look_up(TO, "Take it out now.", "1.ab", NINE, frozenset())
    channel.missed(NINE)

    assert [unknown(published, asked) for asked in carrier.asked] == [[], [], []]
    sent, looked_up, missed = carrier.asked
    misspelt = replace(sent, body=f"{sent.body}&StatusCalback=x")
    astray = [replace(asked, query=f"{asked.query}&Sent=x") for asked in (looked_up, missed)]
    assert [unknown(published, asked) for asked in (misspelt, *astray)] == [
        ["StatusCalback"], ["Sent"], ["Sent"],
    ]  # fmt: skip


def unknown(published: dict[str, Any], asked: Asked) -> list[str]:
    """Names in a request's form or query that the description has not."""
    (path,) = (path for path in PATHS if asked.path == path.replace("{AccountSid}", ACCOUNT))
    operation = published["paths"][path][asked.method.lower()]
    known = {parameter["name"] for parameter in operation.get("parameters", ())}
    for form in operation.get("requestBody", {}).get("content", {}).values():
        known |= form["schema"]["properties"].keys()
    said = [name for name, _ in parse_qsl(asked.query) + parse_qsl(asked.body)]
    return [name for name in said if name not in known]


@pytest.mark.parametrize(
    "query", ["PageSize=many", "PageSize=5000", "DateSent>=yesterday", "Page=first"]
)
def test_a_question_that_is_not_as_described_is_caught(
    description: OpenAPI, channel: Gateway, carrier: StandIn, query: str
) -> None:
    channel.missed(NINE)
    (asked,) = carrier.asked

    with pytest.raises(OpenAPIError):
        description.validate_request(OnTheWire(replace(asked, query=query)))


@pytest.mark.parametrize(
    "spoil",
    [
        {"path": "/2010-04-01/Accounts/AC1/Messages.json"},
        {"body": f"To={TO}&From={NUMBER}&Body=x&ValidityPeriod=soon"},
        {"body": f"From={NUMBER}&Body=x"},
        {"headers": {"Content-Type": "application/x-www-form-urlencoded"}},
    ],
    ids=["account", "validity", "no number", "no password"],
)
def test_a_request_that_is_not_as_described_is_caught(
    description: OpenAPI, channel: Gateway, carrier: StandIn, spoil: dict[str, Any]
) -> None:
    channel.send(TO, "Take it out now.", "1.ab", FIVE_MINUTES)
    (asked,) = carrier.asked

    with pytest.raises(OpenAPIError):
        description.validate_request(OnTheWire(replace(asked, **spoil)))


def test_our_stand_in_answers_as_described(
    description: OpenAPI, channel: Gateway, carrier: StandIn
) -> None:
    channel.send(TO, "Take it out now.", "1.ab", FIVE_MINUTES)
    channel.look_up(TO, "Take it out now.", "1.ab", NINE, frozenset())
    created, listed = carrier.asked
    message = carrier.taken[0].as_json()
    page = {"page": 0, "page_size": 50, "next_page_uri": None, "messages": [message]}

    description.validate_response(
        OnTheWire(created), Answered(json.dumps(message).encode(), status_code=201)
    )
    description.validate_response(OnTheWire(listed), Answered(json.dumps(page).encode()))
