"""Address of the set-up."""

from __future__ import annotations

from django.urls import path

from rillbed.web.setup import views

urlpatterns = [
    path("setup", views.setup, name="setup"),
    path("setup/new", views.setup_new, name="setup-new"),
]
