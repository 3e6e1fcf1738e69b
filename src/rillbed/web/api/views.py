"""The pages about the programming interface: one's own tokens, its reference, and its document."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.tongue import tr
from rillbed.web.api import tokens
from rillbed.web.api.base import PER_MINUTE, PREFIX
from rillbed.web.api.models import SCOPES, Token
from rillbed.web.api.reference import addresses, records
from rillbed.web.api.schema import schema
from rillbed.web.frame.loops import found, loops_of
from rillbed.web.frame.roles import ANYBODY, needs

if TYPE_CHECKING:
    from django.contrib.auth.models import User


def _person(request: HttpRequest) -> User:
    assert request.user.is_authenticated
    return request.user


@never_cache
@needs(ANYBODY)
def tokens_page(request: HttpRequest) -> HttpResponse:
    """List one's own tokens; make another and show it, this once."""
    me, secret, problem = _person(request), "", ""
    typed = request.POST.dict()
    if request.method == "POST":
        loop = found(me, typed["for"]) if typed.get("for") else None
        try:
            secret = tokens.make(me, typed.get("name", ""), typed.get("scope", ""), loop)
        except GardenError as error:
            problem = str(error)
    mine = loops_of(me)
    context = {
        "secret": secret,
        "problem": problem,
        "typed": {} if secret else typed,
        "scopes": SCOPES,
        "mine": mine,
        "tokens": [(one, _used(one)) for one in Token.objects.filter(person=me, revoked=False).select_related("loop")],
        "address": request.build_absolute_uri(PREFIX + "loops"),
    }
    return render(request, "api/tokens.html", context, status=400 if problem else 200)


def _used(one: Token) -> str:
    if one.used_at is None:
        return tr("never used")
    return words.say("last used {day}", day=words.day(one.used_at.date(), year=True))


@require_POST
@needs(ANYBODY)
def revoke(request: HttpRequest) -> HttpResponse:
    """Make one of one's own tokens good for nothing."""
    text = request.POST.get("token", "")
    key = int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
    token = Token.objects.filter(person=_person(request), pk=key, revoked=False).select_related("loop").first()
    if token is None:
        raise Http404
    tokens.revoke(token)
    messages.success(request, words.say("Revoked: {name}.", name=token.name))
    return redirect("tokens")


@require_safe
def reference(request: HttpRequest) -> HttpResponse:
    """Show every address with what it takes and gives."""
    context = {
        "addresses": addresses(),
        "records": records(),
        "per_minute": PER_MINUTE,
        "root": request.build_absolute_uri(PREFIX),
    }
    return render(request, "api/reference.html", context)


@login_not_required
@require_safe
def openapi(request: HttpRequest) -> HttpResponse:
    """Give the document for programs: it holds shapes and no data."""
    return JsonResponse(schema())
