"""The reader's language: the one their browser asks for, for Python and templates alike."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import patch_vary_headers
from django.utils.translation.trans_real import parse_accept_lang_header

from rillbed.tongue import ENGLISH, speaking, tongue

Answering = Callable[[HttpRequest], HttpResponse]
PROGRAMS = "/api/v1/"  # read by programs: the same whoever asks


def spoken(get_response: Answering) -> Answering:
    """Write each answer in the reader's language, with their numbers and dates."""

    def answer(request: HttpRequest) -> HttpResponse:
        if request.path_info.startswith(PROGRAMS):
            with speaking(ENGLISH), translation.override("en"):
                return get_response(request)
        tags = [tag for tag, _ in parse_accept_lang_header(request.headers.get("Accept-Language", "")) if tag != "*"]
        with speaking(tongue(tags)) as found, translation.override(found.language):
            response = get_response(request)
        patch_vary_headers(response, ["Accept-Language"])
        return response

    return answer
