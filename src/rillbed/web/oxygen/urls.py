"""Addresses of the hours of oxygen and of the card to pin up."""

from __future__ import annotations

from django.urls import path

from rillbed.web.oxygen import views

urlpatterns = [
    path("oxygen", views.oxygen, name="oxygen"),
    path("oxygen/card", views.card, name="oxygen-card"),
]
