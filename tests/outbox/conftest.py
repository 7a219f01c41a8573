"""A clinic with two phones, a gateway that stands in, and time that is moved by hand."""

from collections.abc import Iterator

import pytest

from bot.clock import HandClock
from bot.store.transaction import Store
from tests.kit.gateway import NINE, StandIn, gateway
from tests.outbox.post import Post, gateway_channel


@pytest.fixture
def carrier() -> Iterator[StandIn]:
    with gateway() as stand_in:
        yield stand_in


@pytest.fixture
def post(store: Store, carrier: StandIn) -> Post:
    post = Post(store, gateway_channel(carrier), HandClock(NINE))
    post.opens()
    return post
