"""Addresses of nutrients and of the leaf guide."""

from __future__ import annotations

from django.urls import path

from rillbed.web.nutrients import views

urlpatterns = [
    path("nutrients", views.nutrients_page, name="nutrients"),
    path("nutrients/leaves", views.leaves, name="leaves"),
]
