"""Random input of every kind, and what must hold of every answer: `python -m tests.fuzz --help`."""
