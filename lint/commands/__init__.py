"""The commands, thin: parse, run, status."""
