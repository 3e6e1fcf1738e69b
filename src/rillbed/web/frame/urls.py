"""Addresses that belong to no single page."""

from __future__ import annotations

from django.urls import path

from rillbed.web.frame import views

urlpatterns = [
    path("pages", views.all_pages, name="all-pages"),
    path("begin", views.begin, name="begin"),
]
