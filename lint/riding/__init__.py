"""The ride: what the drive gives at each speed inside its limits, and what a road makes of it.

Import `rides` from `rider` and `Ride` from `ride_figures`. It reads books of quantities, and knows no rules.
"""
