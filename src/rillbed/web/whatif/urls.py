"""Addresses of two futures side by side."""

from __future__ import annotations

from django.urls import path

from rillbed.web.whatif import views

urlpatterns = [path("what-if", views.what_if, name="what-if")]
