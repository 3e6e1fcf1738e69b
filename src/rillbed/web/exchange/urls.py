"""Addresses of export and import."""

from __future__ import annotations

from django.urls import path

from rillbed.web.exchange import views

urlpatterns = [
    path("exchange", views.exchange, name="exchange"),
    path("exchange/export", views.export, name="export"),
    path("exchange/import", views.bring, name="import"),
]
