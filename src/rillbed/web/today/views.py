"""What to do now."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop


@needs_loop
def today(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the loop of today."""
    return render(request, "today/today.html")
