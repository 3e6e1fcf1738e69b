"""The model version: part of every seed and digest."""

MODEL_VERSION = "3"
