"""All pages at a glance, how to begin, and what is said when something is not there."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from rillbed.web.frame.loops import current


def all_pages(request: HttpRequest) -> HttpResponse:
    """List every page with its purpose."""
    return render(request, "frame/pages.html")


def begin(request: HttpRequest) -> HttpResponse:
    """Say how a first loop comes to be."""
    return redirect("today") if current(request) else render(request, "frame/begin.html")
