"""Address of the figures and their sources."""

from __future__ import annotations

from django.urls import path

from rillbed.web.sources import views

urlpatterns = [path("sources", views.sources, name="sources")]
