"""Address of the source water."""

from __future__ import annotations

from django.urls import path

from rillbed.web.source_water import views

urlpatterns = [path("source-water", views.source_water, name="source-water")]
