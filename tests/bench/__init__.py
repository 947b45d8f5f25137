"""A bring-up played whole: a vehicle simulated in plain physics, at a real terminal."""
