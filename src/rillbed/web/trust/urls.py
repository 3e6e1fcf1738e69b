"""Addresses of how good the forecasts have been."""

from __future__ import annotations

from django.urls import path

from rillbed.web.trust import views

urlpatterns = [path("trust", views.trust, name="trust"), path("trust/published", views.published, name="published")]
