"""What every address of the programming interface shares: the key, the rate, the loop, and how it refuses."""

from __future__ import annotations

from typing import Any

from django.core.cache import cache
from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI, Schema
from ninja.errors import AuthenticationError, Throttled, ValidationError
from ninja.security import HttpBearer
from ninja.throttling import BaseThrottle

from rillbed.garden.errors import GardenError
from rillbed.web.api import tokens
from rillbed.web.api.models import REACH, Token
from rillbed.web.frame.loops import loops_of
from rillbed.web.log.models import RANKS, Loop

PER_MINUTE = 600
PREFIX = "/api/v1/"


class Refusal(Schema):
    """One thing that is wrong: where, what was given, what is allowed; `row` counts from 0 in a list."""

    field: str
    value: str
    allowed: str
    row: int | None = None


class Refusals(Schema):
    """All that is wrong; nothing was stored."""

    errors: list[Refusal]


class Bearer(HttpBearer):
    """``Authorization: Bearer`` and a token."""

    def authenticate(self, request: HttpRequest, token: str) -> Token | None:
        """Find the token."""
        return tokens.found(token)


class PerToken(BaseThrottle):
    """So many requests of one token in a minute; counted by the cache, so threads do not lose count."""

    def allow_request(self, request: HttpRequest) -> bool:
        """Count this request."""
        key = f"api:{token_of(request).pk}"
        cache.add(key, 0, 60)
        try:
            return cache.incr(key) <= PER_MINUTE
        except ValueError:  # the minute ended between the two
            return True

    def wait(self) -> float:
        """Seconds until it may be asked again."""
        return 60.0


api = NinjaAPI(
    title="Rillbed",
    version="1",
    description="Read a loop and its answers, and write its log: amounts, units and names as on the command line with"
    " --json.",
    docs_url=None,
    openapi_url=None,
    auth=Bearer(),
    throttle=[PerToken()],
    urls_namespace="api",
)


def refusal(error: GardenError, row: int | None = None) -> Refusal:
    """Say a refusal as data; what was given may be long, or no text at all."""
    shown = ascii(error.value) if not isinstance(error.value, str) else error.value
    shown = shown.encode("utf-8", "backslashreplace").decode()
    return Refusal(field=error.field, value=" ".join(shown.split())[:200], allowed=error.allowed, row=row)


def _answer(request: HttpRequest, status: int, field: str, value: object, allowed: str) -> HttpResponse:
    said = Refusals(errors=[refusal(GardenError(field, value, allowed))])
    return api.create_response(request, said.model_dump(exclude_none=True), status=status)


@api.exception_handler(GardenError)
def _garden(request: HttpRequest, error: GardenError) -> HttpResponse:
    return _answer(request, 422, error.field, error.value, error.allowed)


@api.exception_handler(ValidationError)
def _invalid(request: HttpRequest, error: ValidationError) -> HttpResponse:
    one = error.errors[0]
    field = ".".join(str(part) for part in one["loc"][1:])
    return _answer(request, 422, field, one.get("input", ""), str(one["msg"]).lower())


@api.exception_handler(AuthenticationError)
def _nobody(request: HttpRequest, error: AuthenticationError) -> HttpResponse:
    answer = _answer(request, 401, "Authorization", "nothing that opens", "needs Bearer and a token that is good")
    answer["WWW-Authenticate"] = "Bearer"
    return answer


@api.exception_handler(Throttled)
def _often(request: HttpRequest, error: Throttled) -> HttpResponse:
    return _answer(request, 429, "requests", f"over {PER_MINUTE}", f"at most {PER_MINUTE} in a minute for each token")


@api.exception_handler(Http404)
def _nothing(request: HttpRequest, error: Http404) -> HttpResponse:
    return _answer(request, 404, "path", request.path, "must be a loop that this token may see")


@api.exception_handler(RequestDataTooBig)
def _large(request: HttpRequest, error: RequestDataTooBig) -> HttpResponse:
    return _answer(request, 413, "body", "too large", "must be 2.5 MB or less; send it in parts")


class Forbidden(GardenError):
    """The token, or the role of its person, does not reach so far."""


@api.exception_handler(Forbidden)
def _forbidden(request: HttpRequest, error: Forbidden) -> HttpResponse:
    return _answer(request, 403, error.field, error.value, error.allowed)


def token_of(request: HttpRequest) -> Token:
    """Give the token of a request that was let in."""
    token: Any = request.auth  # type: ignore[attr-defined]
    assert isinstance(token, Token)
    return token


def loops_for(request: HttpRequest) -> list[Loop]:
    """Give the loops that the token may see."""
    token = token_of(request)
    mine = loops_of(token.person)
    return list(mine if token.loop_id is None else mine.filter(pk=token.loop_id))


def loop_of(request: HttpRequest, key: int) -> Loop:
    """Find a loop; one that the token may not see does not exist."""
    found = next((one for one in loops_for(request) if one.pk == key), None)
    if found is None:
        raise Http404
    return found


def needs(request: HttpRequest, loop: Loop, scope: str, role: str) -> None:
    """Refuse what token or role do not reach.

    Raises
    ------
    Forbidden
        Naming which of the two.
    """
    token = token_of(request)
    if REACH[token.scope] < REACH[scope]:
        raise Forbidden("token", token.scope, f"needs a token with the scope {scope}")
    if RANKS[loop.role] < RANKS[role]:
        raise Forbidden("role", loop.role, f"needs {role} of this loop")
