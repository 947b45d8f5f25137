"""How far a charge goes, at a steady speed and in stop and go, with all that is known to be drawn."""

from __future__ import annotations

import math
from typing import NamedTuple

from .beside import CHARGE_LEFT
from .course import BesidePush, Road, Schedule, cruising_range, schedule_range
from .ride_figures import Figure
from .train import Driven


class Charge(NamedTuple):
    """A charge and what draws on it. With something `missing` a range is no more than worked out.

    `early` says that the controller's cutoff ends the drive before the charge is used.
    """

    drive: Driven
    flat: Road
    capacity_Ah: float
    beside: BesidePush
    missing: frozenset[str]
    early: bool

    def at(self, speed_km_h: float) -> Figure:
        """Distance in km at a steady speed."""
        km = cruising_range(self.drive, self.flat, speed_km_h, self.capacity_Ah, self.beside)
        if isinstance(km, str):
            return Figure(reason=f"{speed_km_h:g} km/h is not reached")
        return self._figure(km)

    def on(self, schedule: Schedule) -> Figure | None:
        """Distance in km on a cycle; None where the drive does not keep up with it."""
        km = schedule_range(self.drive, self.flat, schedule, self.capacity_Ah, self.beside)
        return None if isinstance(km, str) else self._figure(km)

    def _figure(self, km: float) -> Figure:
        if math.isinf(km):
            return Figure(reason="nothing holds the vehicle back")
        exact = not self.missing and not self.early
        return Figure(km if exact else None, km, self.missing, CHARGE_LEFT if self.early else "")
