"""The books by which a profile is ridden: one a mode, or those of several motors."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.profile import BASE, Profile
from ..quantities.book import Book
from ..riding.vehicle import Ridden, RiddenMotors
from .evaluation import mode_books
from .motor_books import CONTROLLER, OfMotor, books_of_motors


def ridden_books(profile: Profile, judged_on: str) -> dict[str, Ridden]:
    """What is ridden in the base settings and in each mode."""
    if not profile.motors:
        return {**mode_books(profile, judged_on)}
    plain, books = books_of_motors(profile, judged_on)
    whole = next(iter(books.values()))
    modes = (BASE, *profile.modes)
    return {mode: _of_motors(profile, plain, whole[mode].own, mode) for mode in modes}


def heard_books(profile: Profile, heard: Mapping[str, OfMotor]) -> dict[str, Ridden]:
    """What is ridden of several motors that were heard."""
    plain = {name: one.plain for name, one in heard.items()}
    whole = next(iter(heard.values())).books
    return {mode: _of_motors(profile, plain, whole[mode].own, mode) for mode in whole}


def _of_motors(
    profile: Profile, plain: Mapping[str, Mapping[str, Book]], whole: Book, mode: str
) -> RiddenMotors:
    boxes = {name: view.sections.get(CONTROLLER) for name, view in profile.motors.items()}
    return RiddenMotors(whole, {name: books[mode] for name, books in plain.items()}, boxes)
