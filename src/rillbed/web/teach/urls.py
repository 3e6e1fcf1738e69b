"""Addresses of the lesson."""

from __future__ import annotations

from django.urls import path

from rillbed.web.teach import views

urlpatterns = [
    path("lesson", views.lesson_page, name="teach"),
    path("lesson/<str:secret>", views.shared, name="lesson-shared"),
]
