"""A page for this machine alone: who may ask, and what a browser may do with the answer."""

from ipaddress import ip_address
from urllib.parse import urlsplit

from flask import Blueprint, Request, Response, abort, request

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""Nothing from elsewhere, and nothing that stands in the page itself: a text cannot run."""

REFUSED = "This page is for a browser on this machine, and its forms for the page itself.\n"


def guard(page: Blueprint) -> None:
    """Refuse whoever is not on this machine, and any other site that posts through its browser."""
    page.before_request(_check)
    page.after_request(_seal)
    page.register_error_handler(403, _refused)


def is_from_here(asked: Request) -> bool:
    """Whether it comes over the loopback address, whatever a header claims."""
    return asked.remote_addr is not None and ip_address(asked.remote_addr).is_loopback


def is_from_our_page(asked: Request) -> bool:
    """Whether the page that posts is ours: browsers say so in Origin, some only in Referer."""
    said = asked.headers.get("Origin") or asked.headers.get("Referer") or ""
    try:
        page = urlsplit(said)
    except ValueError:  # no address at all, like http://[::1
        return False
    return (page.scheme, page.netloc) == (asked.scheme, asked.host)


def _check() -> None:
    changes = request.method not in {"GET", "HEAD"}
    if not is_from_here(request) or (changes and not is_from_our_page(request)):
        abort(403)


def _seal(response: Response) -> Response:
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "same-origin"
    response.headers["Cache-Control"] = "no-store"
    return response


def _refused(_: Exception) -> Response:
    return Response(REFUSED, 403, mimetype="text/plain")
