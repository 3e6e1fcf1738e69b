"""Addresses of the beds and of lines kept by hand."""

from __future__ import annotations

from django.urls import path

from rillbed.web.beds import views

urlpatterns = [
    path("beds", views.beds, name="beds"),
    path("beds/keep", views.keep, name="plan-keep"),
    path("beds/drop", views.drop, name="plan-drop"),
]
