"""A shop as a record for machines: JSON, held to `schemas/shop.schema.json`."""

from __future__ import annotations

from typing import Any

from ..comparison.tightest import TightMargin
from ..judgement.due import Due
from .record import exact, unread_record
from .shop import ShopVehicle, WholeShop

SHOP_EDITION = "shop/1"


def record(shop: WholeShop) -> dict[str, Any]:
    """The shop as plain data."""
    return {
        "gonogo": SHOP_EDITION,
        "judged_on": shop.judged_on,
        "within_days": shop.within_days,
        "vehicles": [_record(one) for one in shop.vehicles],
        "errors": [unread_record(error) for error in shop.unread],
    }


def _record(one: ShopVehicle) -> dict[str, Any]:
    return {
        "file": one.file,
        "name": one.name,
        "stages": dict(one.stages),
        "fitness": one.fitness,
        "gravest": one.gravest or None,
        "tightest": _margin_record(one.tightest),
        "readings_days": one.readings_days,
        "waivers": [
            {"rule": each.waiver.rule, **_due_record(each)} for each in one.waivers if each.waiver
        ],
        "due": [{"what": each.what, "do": each.do, **_due_record(each)} for each in one.work],
        "asks": list(one.asks),
        "trend": [each._asdict() for each in one.trend],
    }


def _due_record(due: Due) -> dict[str, Any]:
    return {"motor": due.motor or None, "last_day": due.last_day, "left_days": due.left_days}


def _margin_record(margin: TightMargin | None) -> dict[str, Any] | None:
    if margin is None:
        return None
    numbers = ("value", "limit", "margin", "share")
    return {
        "rule": margin.rule,
        "quantity": margin.quantity,
        "mode": margin.mode or None,
        "motor": margin.motor or None,
        **{key: exact(getattr(margin, key)) for key in numbers},
        "unit": margin.unit,
    }
