"""What is asked at the doors."""

from __future__ import annotations

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.validators import UnicodeUsernameValidator


class Person(forms.Form):
    """A name and a pass phrase."""

    name = forms.CharField(max_length=80, validators=[UnicodeUsernameValidator()])
    phrase = forms.CharField(max_length=500, strip=False)


class NewPerson(Person):
    """The same with a phrase that is not easily guessed."""

    def clean_phrase(self) -> str:
        """Refuse a short or common phrase."""
        phrase: str = self.cleaned_data["phrase"]
        validate_password(phrase)
        return phrase


class NewPhrase(forms.Form):
    """Another phrase; the old one is asked for, so that a phone left lying open is not enough."""

    old = forms.CharField(max_length=500, strip=False)
    phrase = forms.CharField(max_length=500, strip=False)

    clean_phrase = NewPerson.clean_phrase
