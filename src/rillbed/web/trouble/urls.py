"""Addresses of trouble."""

from __future__ import annotations

from django.urls import path

from rillbed.web.trouble import views

urlpatterns = [
    path("trouble", views.trouble, name="trouble"),
    path("trouble/sheet", views.expert, name="sheet"),
    path("trouble/sheet.html", views.expert_file, name="sheet-file"),
]
