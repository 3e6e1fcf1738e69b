"""Addresses of the log."""

from __future__ import annotations

from django.urls import path

from rillbed.web.log import views, write

urlpatterns = [
    path("log", views.log, name="log"),
    path("log/add/<slug:kind>", write.add, name="log-add"),
    path("done", write.done, name="done"),
    path("log/withdraw", views.withdraw, name="withdraw"),
    path("log/<uuid:uuid>/correct", write.correct, name="correct"),
]
