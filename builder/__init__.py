"""Gaugeleaf: a shop's procedures and spec tables in, a checked offline manual and its records out."""

__version__ = "0.1.0"
