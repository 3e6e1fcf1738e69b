"""Addresses of the list of loops."""

from __future__ import annotations

from django.urls import path

from rillbed.web.loops import views

urlpatterns = [
    path("loops", views.loops, name="loops"),
    path("loops/choose", views.choose_loop, name="choose-loop"),
    path("loops/<int:key>/erase", views.erase_loop, name="erase-loop"),
]
