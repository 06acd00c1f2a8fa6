"""lessonmaker: video lessons that keep a score, a recording and a commentary in time with each other."""

__version__ = "0.1.0"
