"""Two books side by side: what changed, what it does, and whether it is still safe.

Others take `compare` and `examined` from `comparison`, and the story of one profile from `history`.
"""
