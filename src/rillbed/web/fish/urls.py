"""Address of the fish."""

from __future__ import annotations

from django.urls import path

from rillbed.web.fish import views

urlpatterns = [path("fish", views.fish, name="fish")]
