"""Addresses of the programming interface, its reference and the tokens."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib.auth.decorators import login_not_required
from django.urls import URLPattern, URLResolver, include, path

from rillbed.web.api import base, views


def _by_token(found: Iterable[URLPattern | URLResolver]) -> list[URLPattern]:
    """Let a token in place of signing in: these views ask for it themselves."""
    return [
        URLPattern(one.pattern, login_not_required(one.callback), one.default_args, one.name)
        for one in found
        if isinstance(one, URLPattern) and one.name != "api-root"
    ]


urlpatterns = [
    path("tokens", views.tokens_page, name="tokens"),
    path("tokens/revoke", views.revoke, name="token-revoke"),
    path("api/reference", views.reference, name="api-reference"),
    path("api/v1/openapi.json", views.openapi, name="openapi"),
    path("api/v1/", include((_by_token(base.api.urls[0]), "api"), namespace="api")),
]
