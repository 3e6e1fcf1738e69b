"""Address of the test sheet."""

from __future__ import annotations

from django.urls import path

from rillbed.web.water import views

urlpatterns = [path("water", views.water, name="water")]
