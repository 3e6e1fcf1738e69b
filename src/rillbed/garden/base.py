"""What all types of this layer share: frozen, no unknown fields, no infinities, and amounts kept as typed."""

from __future__ import annotations

from typing import Any, Self

from pydantic import BaseModel, ConfigDict, ValidationError, model_validator

from rillbed import units
from rillbed.garden.errors import GardenError, every, from_validation
from rillbed.tongue import tr


class Frozen(BaseModel):
    """A value that never changes and says in one line why it refuses to exist."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, str_strip_whitespace=True)

    @classmethod
    def make(cls, data: Any) -> Self:
        """Build from plain data.

        Raises
        ------
        GardenError
            With the first problem, naming field, value and what is allowed.
        """
        try:
            return cls.model_validate(data)
        except ValidationError as error:
            raise from_validation(error) from None

    @classmethod
    def refusals(cls, data: Any) -> list[GardenError]:
        """Return all that is wrong with plain data, for a form that says it all at once; empty if nothing is."""
        try:
            cls.model_validate(data)
        except ValidationError as error:
            return every(error)
        return []


class Amount(Frozen):
    """A number and its unit exactly as somebody typed them; also reads text such as ``"12.5 g"``."""

    value: float
    unit: str

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, data: Any) -> Any:
        if isinstance(data, str):
            number, _, unit = data.strip().partition(" ")
            return {"value": number, "unit": unit.strip()}
        return data

    def to(self, unit: str) -> float:
        """Return the number in another unit.

        Raises
        ------
        GardenError
            If the two units do not measure the same thing.
        """
        try:
            return units.convert(self.value, self.unit, unit)
        except units.UnitError:
            raise GardenError("unit", self.unit, tr("needs a unit that converts to {unit}").format(unit=unit)) from None

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}"
