"""Addresses of the days away."""

from __future__ import annotations

from django.urls import path

from rillbed.web.away import views

urlpatterns = [
    path("away", views.away, name="away"),
    path("away/year", views.year, name="away-year"),
    path("away/shares", views.feed_shares, name="away-shares"),
    path("away/<uuid:uuid>", views.change, name="away-change"),
]
