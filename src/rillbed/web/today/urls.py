"""Addresses of what to do now."""

from __future__ import annotations

from django.urls import path

from rillbed.web.today import odd, views

urlpatterns = [path("", views.today, name="today"), path("odd", odd.answer, name="odd")]
