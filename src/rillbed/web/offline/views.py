"""The service worker, the manifest, and the page for when nothing else is kept."""

from __future__ import annotations

import json
from functools import cache
from hashlib import sha256
from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_safe

from rillbed.tongue import tr

FOLDER = Path(__file__).parent
STATIC = FOLDER.parent / "static"


@cache
def _script() -> str:
    """Fill the worker with the files it keeps, and with a version that changes when one of them does."""
    files = sorted(path for path in (STATIC / "rillbed").iterdir() if path.is_file())
    version = sha256(b"".join(path.read_bytes() for path in files)).hexdigest()[:12]
    kept = [static(path.relative_to(STATIC).as_posix()) for path in files]
    text = (FOLDER / "worker.js").read_text("utf-8")
    told = {"version": version, "files": kept, "offline": reverse("offline")}
    return f"const TOLD = {json.dumps(told)};\n{text}"


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """Give the service worker."""
    response = HttpResponse(_script(), content_type="text/javascript; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    return response


@login_not_required
@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    """Say how it stands on a home screen."""
    icons = [
        {"src": static(f"rillbed/icon-{size}.png"), "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
        for size in (192, 512)
        for purpose in ("any", "maskable")
    ]
    told = {
        "name": "Rillbed",
        "short_name": "Rillbed",
        "description": tr("Fish, bacteria, water and beds of one loop"),
        "id": reverse("today"),
        "start_url": reverse("today"),
        "scope": reverse("today"),
        "display": "standalone",
        "background_color": "#ffffff",
        "theme_color": "#1b5e96",
        "icons": icons,
    }
    return JsonResponse(told, content_type="application/manifest+json")


@login_not_required
@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """Say that there is no network and that this page was not kept."""
    return render(request, "offline/offline.html")
