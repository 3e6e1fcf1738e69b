"""Address of upkeep."""

from __future__ import annotations

from django.urls import path

from rillbed.web.upkeep import views

urlpatterns = [path("upkeep", views.upkeep_page, name="upkeep")]
