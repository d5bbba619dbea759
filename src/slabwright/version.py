"""The version of the program, printed on every sheet."""

__version__ = "0.1.0"
