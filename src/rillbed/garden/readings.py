"""Readings as intervals: what was typed, in the unit it was typed in, and what that means in canonical units."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError
from rillbed.garden.kits import Kit
from rillbed.garden.quantities import QUANTITIES, Basis, QuantityId, canonical, check_unit
from rillbed.tongue import tr


class Reading(Frozen):
    """One quantity read from a kit, a strip or a meter.

    Notes
    -----
    `low` and `high` bound what the water can hold given the step that matched, before dilution, in `unit` and `basis`
    as typed; None = open. A meter that shows one number has `low == high`. `dilution` 2 = one part sample, one clean.
    """

    quantity: QuantityId
    value: float | None = None  # the step or number as typed
    unit: str
    low: float | None = None
    high: float | None = None
    basis: Basis | None = None  # "n": as the element (N, P, ...); "ion": as NH4, NO2, NO3, PO4; None = unknown
    dilution: Annotated[float, Field(ge=1, le=1000)] = 1.0
    kit: str | None = None
    source_water: bool = False  # True: a test of the source water, not of the loop

    @model_validator(mode="before")
    @classmethod
    def _point(cls, data: object) -> object:
        """Take a number without any interval as a meter's: both ends are that number."""
        if isinstance(data, dict) and data.get("low") is None and data.get("high") is None:
            return {**data, "low": data.get("value"), "high": data.get("value")}
        return data

    @model_validator(mode="after")
    def _possible(self) -> Self:
        check_unit("unit", self.quantity, self.unit)
        if self.low is None and self.high is None:
            raise GardenError("low", "nothing", tr("a reading needs low, high or value"))
        if self.low is not None and self.high is not None and self.high < self.low:
            raise GardenError("high", self.high, tr("must not be below low, {low:g}").format(low=self.low))
        if self.dilution != 1 and self.quantity in ("ph", "temperature"):
            raise GardenError(
                "dilution",
                self.dilution,
                tr("{quantity} cannot be read from a diluted sample").format(quantity=self.quantity),
            )
        kind = QUANTITIES[self.quantity]
        for field, typed in (("value", self.value), ("low", self.low), ("high", self.high)):
            if (
                typed is not None
                and not kind.low <= canonical(self.quantity, typed, self.unit, self.basis) <= kind.high
            ):
                allowed = tr("{quantity} lies between {low:g} and {high:g} {unit}")
                told = allowed.format(quantity=tr(kind.name), low=kind.low, high=kind.high, unit=kind.unit).rstrip()
                raise GardenError(field, f"{typed:g} {self.unit}".rstrip(), told)
        return self

    @classmethod
    def of_step(cls, kit: Kit, step: float, dilution: float = 1.0) -> Reading:
        """Return the reading that a kit's matching step stands for.

        Raises
        ------
        GardenError
            If the kit has no such step.
        """
        low, high = (step, step) if kit.kind == "meter" else kit.interval(step)
        return cls.make(
            {
                "quantity": kit.quantity,
                "value": step,
                "unit": kit.unit,
                "low": low,
                "high": high,
                "basis": kit.basis,
                "dilution": dilution,
                "kit": kit.name,
            }
        )

    @property
    def canonical_unit(self) -> str:
        """Unit of `interval`: mg/L (nitrogen as N, phosphorus as P), meq/L for alkalinity and hardness, mS/cm, none."""
        return QUANTITIES[self.quantity].unit

    @property
    def interval(self) -> tuple[float | None, float | None]:
        """(low, high) in canonical units with the dilution undone; an unknown basis is taken as the element."""
        low, high = (
            None if end is None else canonical(self.quantity, end, self.unit, self.basis) * self.dilution
            for end in (self.low, self.high)
        )
        return low, high

    @property
    def canonical_value(self) -> float | None:
        """The typed step or number in canonical units with the dilution undone."""
        if self.value is None:
            return None
        return canonical(self.quantity, self.value, self.unit, self.basis) * self.dilution


class Temperature(Frozen):
    """A temperature; `low` and `high` when a thermometer with memory was read."""

    value: float
    unit: str = "degC"
    low: float | None = None
    high: float | None = None
    where: Literal["water", "air"] = "water"

    @model_validator(mode="after")
    def _possible(self) -> Self:
        check_unit("unit", "temperature", self.unit)
        bottom, top = (-2.0, 50.0) if self.where == "water" else (-60.0, 60.0)
        for field, typed in (("value", self.value), ("low", self.low), ("high", self.high)):
            if typed is not None and not bottom <= canonical("temperature", typed, self.unit, None) <= top:
                allowed = tr("{quantity} lies between {low:g} and {high:g} {unit}")
                told = allowed.format(quantity=tr(self.where), low=bottom, high=top, unit="degC")
                raise GardenError(field, f"{typed:g} {self.unit}", told)
        if self.low is not None and self.high is not None and self.high < self.low:
            raise GardenError("high", self.high, tr("must not be below low, {low:g}").format(low=self.low))
        return self

    @property
    def temp_c(self) -> float:
        """Temperature, °C."""
        return canonical("temperature", self.value, self.unit, None)
