"""For those who come by a link: joining a loop, and the page that anybody may read."""

from __future__ import annotations

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_safe

from rillbed.garden.errors import GardenError
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.frame.loops import choose
from rillbed.web.people import members
from rillbed.web.people.forms import NewPerson
from rillbed.web.people.models import Invitation
from rillbed.web.today.page import page


@login_not_required
@never_cache
@sensitive_post_parameters("phrase")
def join(request: HttpRequest, secret: str) -> HttpResponse:
    """Take an invitation, with the account one has or a new one; looking at it does not use it up."""
    invitation = members.invitation_of(secret)
    if invitation is None:
        return render(request, "people/spent.html", status=410)
    if request.user.is_authenticated:
        return _joined(request, secret, request.user) if request.method == "POST" else _asked(request, invitation)
    form = NewPerson(request.POST or None)
    if request.method != "POST" or not form.is_valid():
        return _asked(request, invitation, form, 400 if form.errors else 200)
    try:
        with transaction.atomic():
            person = User.objects.create_user(form.cleaned_data["name"], password=form.cleaned_data["phrase"])
            if members.join(secret, person) is None:
                raise LookupError
    except IntegrityError:
        form.add_error("name", tr("Somebody here has this name already. Choose another, or sign in."))
        return _asked(request, invitation, form, 400)
    except LookupError:
        return render(request, "people/spent.html", status=410)
    login(request, person)
    choose(request, invitation.loop)
    return redirect("today")


def _joined(request: HttpRequest, secret: str, person: User) -> HttpResponse:
    loop = members.join(secret, person)
    if loop is None:
        return render(request, "people/spent.html", status=410)
    choose(request, loop)
    return redirect("today")


def _asked(
    request: HttpRequest, invitation: Invitation, form: NewPerson | None = None, status: int = 200
) -> HttpResponse:
    context = {"invitation": invitation, "form": form}
    response = render(request, "people/join.html", context, status=status)
    response["X-Robots-Tag"] = "noindex"
    return response


@login_not_required
@never_cache
@require_safe
def shared(request: HttpRequest, secret: str) -> HttpResponse:
    """Show how a loop does to whoever has the address; no people, no reasons of jobs, nothing to press.

    A reason may say until when nobody is at home.
    """
    found = members.shared(secret)
    if found is None:
        return render(request, "people/spent.html", status=410)
    context: dict[str, object] = {"title": found.title}
    try:
        log, now = bridge.entries(found.loop), clock.now()
        system = bridge.standing_system(found.loop)
        answer = store.latest(found.loop, system.day_of(now))
        if answer.today is not None:
            context["page"] = page(system, bridge.first_system(log), log, answer, now)
    except GardenError:
        pass  # not set up yet: there is nothing to show
    response = render(request, "people/shared.html", context)
    response["X-Robots-Tag"] = "noindex"
    response["Referrer-Policy"] = "no-referrer"
    return response
