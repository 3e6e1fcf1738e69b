"""Addresses of the log."""

from __future__ import annotations

from django.urls import path

from rillbed.web.log import views

urlpatterns = [
    path("log", views.log, name="log"),
    path("log/withdraw", views.withdraw, name="withdraw"),
    path("log/<uuid:uuid>/correct", views.correct, name="correct"),
]
