"""What a browser may load, and what is open without signing in."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import RequestDataTooBig
from django.core.files.uploadhandler import FileUploadHandler
from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse

POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; object-src 'none'; "
    "base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
)


SECRET_PATHS = re.compile(r"(/(?:first|join|shared|lesson|calendar|enter/\d+)/)[^\s/?\"']+")
MOST_UPLOAD = 21 * 2**20  # a little more than the largest file that is taken in
TOKENS = re.compile(r"\brb_[\w-]+")


class NoSecrets(logging.Filter):
    """Blot secrets out of what is logged: those that stand in an address, and tokens."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Let every line through, blotted."""
        record.msg, record.args = blotted(record.getMessage()), None
        return True


def blotted(text: str) -> str:
    """Give a text without the secrets that it holds.

    Examples
    --------
    >>> blotted("Internal Server Error: /join/abc-def")
    'Internal Server Error: /join/***'
    """
    return TOKENS.sub("rb_***", SECRET_PATHS.sub(r"\1***", text))


class Bounded(FileUploadHandler):
    """Refuse a request that says it is larger than any file that is taken in, before it is read."""

    def handle_raw_input(
        self,
        input_data: object,
        META: dict[str, str],
        content_length: int,
        boundary: str,
        encoding: str | None = None,
    ) -> None:
        """Look at what the request says of its length; whoever lies is cut off by the server."""
        if content_length > MOST_UPLOAD:
            raise RequestDataTooBig(f"file: larger than {MOST_UPLOAD} bytes")

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        """Pass on."""
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Leave the file to the handlers behind."""


def content_policy(answer: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Put the content security policy on every response."""

    def with_policy(request: HttpRequest) -> HttpResponse:
        response = answer(request)
        response["Content-Security-Policy"] = POLICY
        return response

    return with_policy


@login_not_required
def health(request: HttpRequest) -> HttpResponse:
    """Say that the server and its database answer; what is wrong with it is for `rillbed doctor`, not for strangers."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return HttpResponse("the database does not answer\n", status=503, content_type="text/plain")
    return HttpResponse("ok\n", content_type="text/plain")
