"""Address of the dosing bench."""

from __future__ import annotations

from django.urls import path

from rillbed.web.dosing import views

urlpatterns = [path("doses", views.bench, name="dosing")]
