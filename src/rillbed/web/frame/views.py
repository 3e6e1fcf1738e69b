"""All pages at a glance, how to begin, and what is said when something is not there."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from rillbed.web.frame.loops import choose, current
from rillbed.web.log.models import Loop


def all_pages(request: HttpRequest) -> HttpResponse:
    """List every page with its purpose."""
    here = current(request)
    loops = [(loop, loop == here) for loop in Loop.objects.order_by("pk")]
    return render(request, "frame/pages.html", {"loops": loops if len(loops) > 1 else []})


@require_POST
def choose_loop(request: HttpRequest) -> HttpResponse:
    """Show another loop from now on."""
    choose(request, get_object_or_404(Loop, pk=request.POST.get("loop") or 0))
    return redirect("today")


def begin(request: HttpRequest) -> HttpResponse:
    """Say how a first loop comes to be."""
    return redirect("today") if current(request) else render(request, "frame/begin.html")
