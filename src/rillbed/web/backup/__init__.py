"""Copies of the whole data: made while the server runs, checked before they are trusted."""
