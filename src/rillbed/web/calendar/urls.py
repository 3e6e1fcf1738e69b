"""Addresses of the calendar."""

from __future__ import annotations

from django.urls import path

from rillbed.web.calendar import views

urlpatterns = [
    path("calendar", views.calendar, name="calendar"),
    path("calendar/close", views.close, name="calendar-close"),
    path("calendar/<str:secret>.ics", views.feed, name="calendar-feed"),
]
