"""Address of sizing."""

from __future__ import annotations

from django.urls import path

from rillbed.web.size import views

urlpatterns = [path("size", views.size_a_loop, name="size")]
