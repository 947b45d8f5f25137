"""Tests that what a stranger sends neither hides, nor runs, nor is lost."""
