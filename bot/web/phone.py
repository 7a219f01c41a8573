"""The web phone."""

from collections.abc import Callable, Mapping
from datetime import timedelta
from functools import partial

from flask import Blueprint, Response, abort, jsonify, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from bot.clock import RATES
from bot.web.phones import Handset, Phones
from bot.web.same_origin import guard
from bot.web.screen import lines_of, parts, whole

NEWS_WITHIN = timedelta(seconds=15)
"""A page waits this long for news before it asks again."""

LONGEST = 480
"""Characters that can be typed: three segments and more than any answer needs."""

TURNS: Mapping[str, Callable[[Phones], None]] = {
    **{f"{rate}x": partial(Phones.run_at, rate=rate) for rate in RATES},
    "minute": partial(Phones.skip, span=timedelta(minutes=1)),
    "bell": Phones.skip_to_next_bell,
}
"""What the buttons beside the clock do."""


def phone(phones: Phones) -> Blueprint:
    """Opens only under `soakbell demo`: nothing else hands this page to an application."""
    page = Blueprint("phone", __name__)
    guard(page)

    @page.get("/")
    def show() -> str:
        """One phone, whole; everything on it works without a script too."""
        handset = _asked_for(phones)
        after = phones.screens.wait_for_any(0, timedelta(0))
        return render_template(
            "phone.html",
            **whole(phones, handset),
            after=after,
            longest=LONGEST,
        )

    @page.get("/news")
    def news() -> Response:
        """What has come since, as soon as there is some; the phones, the clock, the next bell."""
        handset = _asked_for(phones)
        after = request.args.get("after", 0, type=int)
        last = phones.screens.wait_for_any(after, NEWS_WITHIN)
        lines = render_template("lines.html", lines=lines_of(phones, handset, after))
        return jsonify(last=last, lines=lines, **parts(phones, handset))

    @page.post("/text")
    def text() -> AnyResponse:
        body = request.form.get("body", "").strip()[:LONGEST]
        if body:
            phones.text(_asked_for(phones), body)
        return _back(phones)

    @page.post("/clock")
    def clock() -> AnyResponse:
        turn = TURNS.get(request.form.get("step", ""))
        if turn is None:
            abort(400)
        turn(phones)
        return _back(phones)

    @page.get("/record")
    def record() -> Response:
        """The record of the cycle that began last, to read."""
        last = phones.last_cycle()
        words = phones.record(last) if last else "No cycle has begun yet.\n"
        return Response(words, mimetype="text/plain")

    return page


def _asked_for(phones: Phones) -> Handset:
    place = request.values.get("phone", 1, type=int)
    if not 1 <= place <= len(phones.handsets):
        abort(404)
    return phones.handsets[place - 1]


def _back(phones: Phones) -> AnyResponse:
    """To the page again, or, where its script has asked, what has changed beside the texts."""
    handset = _asked_for(phones)
    if request.accept_mimetypes.best == "application/json":
        return jsonify(parts(phones, handset))
    return redirect(url_for("phone.show", phone=phones.handsets.index(handset) + 1), 303)
