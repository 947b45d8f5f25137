"""The rehearsal: each single failure of a vehicle played through, and what catches it.

Import `rehearsals` from `rehearse`. It reads books of quantities and rulings; it judges nothing.
"""
