"""Teach: the model as a lesson, to slide, to print and to share."""
