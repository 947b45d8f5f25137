"""The engineering: one function a worked quantity, and the book that works them out."""
