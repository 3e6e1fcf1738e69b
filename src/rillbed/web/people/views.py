"""Signing in and out, the first account, and links that open once."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from rillbed import words
from rillbed.tongue import tr
from rillbed.web.frame.roles import ANYBODY, needs
from rillbed.web.people import links, throttle
from rillbed.web.people.forms import NewPerson, NewPhrase, Person


@login_not_required
@never_cache
@sensitive_post_parameters("phrase")
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for name and phrase; pause after too many wrong ones."""
    form = Person(request.POST or None)
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    problem = ""
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["name"]
        if not throttle.left(request, name):
            problem = tr("Too many tries. Wait ten minutes, then try again.")
        else:
            person = authenticate(request, username=name, password=form.cleaned_data["phrase"])
            if person is not None:
                throttle.forget(request, name)
                login(request, person)
                safe = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, request.is_secure())
                return redirect(wanted if safe else "today")
            tries = throttle.wrong(request, name)
            problem = words.say(
                "That phrase and name do not go together. {tries} more, then a pause of ten minutes.", tries=tries
            )
    context = {"form": form, "wanted": wanted, "problem": problem, "empty": links.set_up_is_open()}
    return render(request, "people/sign_in.html", context, status=403 if problem else 200)


@never_cache
@sensitive_post_parameters("old", "phrase")
@needs(ANYBODY)
def change_phrase(request: HttpRequest) -> HttpResponse:
    """Change one's own phrase; every other phone and browser has to sign in again."""
    assert request.user.is_authenticated
    person, form = request.user, NewPhrase(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if not throttle.left(request, person.get_username()):
            form.add_error("old", tr("Too many tries. Wait ten minutes, then try again."))
        elif not person.check_password(form.cleaned_data["old"]):
            throttle.wrong(request, person.get_username())
            form.add_error("old", tr("That is not the phrase so far."))
        else:
            person.set_password(form.cleaned_data["phrase"])
            person.save(update_fields=["password"])
            update_session_auth_hash(request, person)
            throttle.forget(request, person.get_username())
            messages.success(request, tr("Changed. Every other phone and browser has to sign in again."))
            return redirect("people")
    return render(request, "people/phrase.html", {"form": form}, status=400 if form.errors else 200)


@needs(ANYBODY)
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Forget this browser."""
    logout(request)
    return redirect("sign-in")


@login_not_required
@never_cache
@sensitive_post_parameters("phrase")
def first_account(request: HttpRequest, secret: str) -> HttpResponse:
    """Make the first account, once."""
    if not links.set_up_fits(secret):
        return render(request, "people/spent.html", status=410)
    form = NewPerson(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            # Asked again under the write lock: of two presses at once, one makes the account.
            if not links.set_up_is_open():
                return render(request, "people/spent.html", status=410)
            person = User.objects.create_user(form.cleaned_data["name"], password=form.cleaned_data["phrase"])
        login(request, person)
        return redirect("today")
    return render(request, "people/first.html", {"form": form}, status=400 if form.errors else 200)


@login_not_required
@never_cache
def enter(request: HttpRequest, key: int, secret: str) -> HttpResponse:
    """Sign in through a link that opens once."""
    person = links.person_of(key, secret)
    if person is None:
        return redirect("today") if request.user.is_authenticated else render(request, "people/spent.html", status=410)
    login(request, person)
    return redirect("today")
