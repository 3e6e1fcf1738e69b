"""Addresses that make a phone keep pages."""

from __future__ import annotations

from django.urls import path

from rillbed.web.offline import views

urlpatterns = [
    path("sw.js", views.worker, name="service-worker"),
    path("manifest.webmanifest", views.manifest, name="manifest"),
    path("offline", views.offline, name="offline"),
]
