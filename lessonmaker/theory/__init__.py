"""Pitch, interval, chord, scale and metre: pure functions on small frozen values."""
