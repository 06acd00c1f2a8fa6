"""`python -m lessonmaker`."""

from lessonmaker.cli import program

program()
