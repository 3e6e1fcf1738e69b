"""Addresses of the sheets."""

from __future__ import annotations

from django.urls import path

from rillbed.web.paper import views

urlpatterns = [
    path("paper", views.paper, name="paper"),
    path("paper/week", views.week, name="paper-week"),
    path("paper/log", views.log_sheet, name="paper-log"),
    path("paper/cards", views.cards, name="paper-cards"),
    path("paper/away", views.away_sheet, name="paper-away"),
]
