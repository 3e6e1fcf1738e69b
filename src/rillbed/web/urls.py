"""Addresses of the web face; every page family brings its own."""

from __future__ import annotations

from django.urls import include, path

from rillbed.web import access

urlpatterns = [
    path("health", access.health, name="health"),
    path("", include("rillbed.web.people.urls")),
    path("", include("rillbed.web.api.urls")),
    path("", include("rillbed.web.exchange.urls")),
    path("", include("rillbed.web.frame.urls")),
    path("", include("rillbed.web.today.urls")),
    path("", include("rillbed.web.sources.urls")),
    path("", include("rillbed.web.setup.urls")),
    path("", include("rillbed.web.startup.urls")),
    path("", include("rillbed.web.size.urls")),
    path("", include("rillbed.web.upkeep.urls")),
    path("", include("rillbed.web.teach.urls")),
    path("", include("rillbed.web.water.urls")),
    path("", include("rillbed.web.away.urls")),
    path("", include("rillbed.web.beds.urls")),
    path("", include("rillbed.web.calendar.urls")),
    path("", include("rillbed.web.dosing.urls")),
    path("", include("rillbed.web.household.urls")),
    path("", include("rillbed.web.fish.urls")),
    path("", include("rillbed.web.nutrients.urls")),
    path("", include("rillbed.web.oxygen.urls")),
    path("", include("rillbed.web.paper.urls")),
    path("", include("rillbed.web.source_water.urls")),
    path("", include("rillbed.web.log.urls")),
    path("", include("rillbed.web.offline.urls")),
    path("", include("rillbed.web.loops.urls")),
    path("", include("rillbed.web.trouble.urls")),
    path("", include("rillbed.web.trust.urls")),
    path("", include("rillbed.web.whatif.urls")),
]
