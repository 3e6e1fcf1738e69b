"""Address of the start-up."""

from __future__ import annotations

from django.urls import path

from rillbed.web.startup import views

urlpatterns = [path("startup", views.startup, name="startup")]
