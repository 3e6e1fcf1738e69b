"""The page of people: who may do what, ways in, pages for everybody, and what was changed by whom."""

from __future__ import annotations

from typing import TYPE_CHECKING

import segno
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.tongue import later, tr
from rillbed.web import bridge, clock
from rillbed.web.frame.loops import needs_loop
from rillbed.web.frame.roles import ANYBODY, may, needs
from rillbed.web.log.models import Keeper, Loop, Role
from rillbed.web.people import members
from rillbed.web.people.changes import told
from rillbed.web.people.models import Change, Invitation, Share

if TYPE_CHECKING:
    from django.contrib.auth.models import User

A_SHEET = 30
# As they stand in the code, and as they begin a line.
WITHIN = (later("owner"), later("helper"), later("reader"))
ROLES = {"owner": later("Owner"), "helper": later("Helper"), "reader": later("Reader")}


def qr(text: str) -> SafeString:
    """Draw a code that a phone's camera opens, dark on light in either theme."""
    drawn = segno.make(text, error="m", micro=False)
    svg = drawn.svg_inline(scale=4, border=4, dark="#000", light="#fff", omitsize=True, svgclass="qr", lineclass=None)
    label = tr("The same link as a code for a camera")
    return mark_safe(svg.replace("<svg ", f'<svg role="img" aria-label="{escape(label)}" ', 1))


@require_safe
@needs_loop
def people(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show who may do what."""
    return _page(request, loop)


def _person(request: HttpRequest) -> User:
    assert request.user.is_authenticated
    return request.user


def _page(request: HttpRequest, loop: Loop, status: int = 200, **more: object) -> HttpResponse:
    me, owns = _person(request), may(loop, Role.OWNER)
    context: dict[str, object] = {
        "loop": loop,
        "members": [(one, one.person_id == me.pk) for one in members.roles(loop)],
        "roles": [(role.value, tr(ROLES[role.value])) for role in Role],
        "days": members.DAYS,
        "shared_title": tr(members.SHARED_TITLE),
    }
    if owns:
        system, this = bridge.standing_system(loop), clock.now().year
        pages = Paginator(Change.objects.filter(loop=loop), A_SHEET)
        sheet = pages.get_page(request.GET.get("sheet"))
        context |= {
            "invitations": members.open_invitations(loop),
            "shares": Share.objects.filter(loop=loop, revoked=False),
            "sheet": sheet,
            "changes": [
                (
                    words.day(at.date(), year=at.year != this),
                    words.clock(at),
                    told(one.what, one.author, one.about),
                )
                for one in sheet
                for at in [clock.local(system, one.at)]
            ],
        }
    return render(request, "people/people.html", context | more, status=status)


@never_cache
@require_POST
@needs(Role.OWNER)
@needs_loop
def invite(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Make an invitation and show its link, this once."""
    role = request.POST.get("role", "")
    try:
        secret = members.invite(loop, _person(request), role)
    except GardenError as error:
        return _page(request, loop, 400, problem=str(error))
    link = request.build_absolute_uri(reverse("join", args=[secret]))
    return _page(request, loop, link=link, link_role=role, code=qr(link))


@never_cache
@require_POST
@needs(Role.OWNER)
@needs_loop
def share(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Make a page for everybody and show its address, this once."""
    try:
        secret = members.share(loop, _person(request), request.POST.get("title", ""))
    except GardenError as error:
        return _page(request, loop, 400, share_problem=str(error), share_typed=request.POST.get("title", ""))
    link = request.build_absolute_uri(reverse("shared", args=[secret]))
    return _page(request, loop, share_link=link, share_code=qr(link))


@require_POST
@needs(Role.OWNER)
@needs_loop
def take_back(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Take an invitation or a shared page back."""
    model: type[Invitation] | type[Share]
    model, what = (Share, "unshared") if request.POST.get("what") == "share" else (Invitation, "invitation_back")
    found = model.objects.filter(loop=loop, pk=_key(request), revoked=False).first()
    if found is None:
        raise Http404
    found.revoked = True
    found.save(update_fields=["revoked"])
    members.note(loop, _person(request).get_username(), what, found.title if isinstance(found, Share) else found.role)
    messages.success(request, tr("Taken back: that address opens nothing any more."))
    return redirect("people")


@require_POST
@needs(Role.OWNER)
@needs_loop
def set_role(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Give somebody another role, or none."""
    role = "" if request.POST.get("remove") else request.POST.get("role", "-")
    try:
        kept = members.set_role(loop, _person(request), _key(request), role)
    except GardenError as error:
        return _page(request, loop, 400, member_problem=str(error))
    name = kept.person.get_username()
    said = (
        words.say("{name} is {role} now.", name=name, role=tr(role))
        if role
        else words.say("{name} was removed.", name=name)
    )
    messages.success(request, said)
    return redirect("people")


@require_POST
@needs(ANYBODY)
@needs_loop
def leave(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Leave a loop; the last owner stays."""
    me = _person(request)
    kept = Keeper.objects.get(loop=loop, person=me)
    try:
        members.set_role(loop, me, kept.pk, "")
    except GardenError as error:
        return _page(request, loop, 400, member_problem=str(error))
    messages.success(request, words.say("You left {loop}.", loop=loop.name))
    return redirect("loops")


def _key(request: HttpRequest) -> int:
    text = request.POST.get("key", "")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
