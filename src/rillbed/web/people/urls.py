"""Addresses of the doors."""

from __future__ import annotations

from django.urls import path

from rillbed.web.people import views

urlpatterns = [
    path("sign-in", views.sign_in, name="sign-in"),
    path("sign-out", views.sign_out, name="sign-out"),
    path("first/<str:secret>", views.first_account, name="first-account"),
    path("enter/<int:key>/<str:secret>", views.enter, name="enter"),
]
