"""Checks from outside: published tables, reference libraries, and the facts of the trade."""
