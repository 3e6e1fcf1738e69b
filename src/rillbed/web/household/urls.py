"""Addresses of the household and of own products."""

from __future__ import annotations

from django.urls import path

from rillbed.web.household import views

urlpatterns = [
    path("household", views.household, name="household"),
    path("products", views.products, name="products"),
]
