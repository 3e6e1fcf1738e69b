"""Addresses of the web face."""

from __future__ import annotations

from django.urls import path

from rillbed.web import access

urlpatterns = [path("health", access.health, name="health")]
