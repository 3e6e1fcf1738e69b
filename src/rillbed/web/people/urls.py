"""Addresses of the doors."""

from __future__ import annotations

from django.urls import path

from rillbed.web.people import guests, team, views

urlpatterns = [
    path("sign-in", views.sign_in, name="sign-in"),
    path("phrase", views.change_phrase, name="phrase"),
    path("sign-out", views.sign_out, name="sign-out"),
    path("first/<str:secret>", views.first_account, name="first-account"),
    path("enter/<int:key>/<str:secret>", views.enter, name="enter"),
    path("join/<str:secret>", guests.join, name="join"),
    path("shared/<str:secret>", guests.shared, name="shared"),
    path("people", team.people, name="people"),
    path("people/invite", team.invite, name="invite"),
    path("people/share", team.share, name="share"),
    path("people/take-back", team.take_back, name="take-back"),
    path("people/role", team.set_role, name="set-role"),
    path("people/leave", team.leave, name="leave"),
]
