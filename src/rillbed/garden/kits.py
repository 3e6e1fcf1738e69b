"""Test kits as ordered steps: a reading is the interval around the step that matched, never a point."""

from __future__ import annotations

from bisect import bisect_left
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError
from rillbed.garden.quantities import Basis, QuantityId, check_unit
from rillbed.tongue import current, tr


class Kit(Frozen):
    """One test of one kit, with the steps printed on the user's own card.

    Notes
    -----
    `basis` says whether the card counts the element ("n": as N, as P) or the whole ion; None = not known yet.
    `low_open` and `high_open`: the lowest or highest step also stands for everything beyond it. A meter has no steps.
    """

    name: Annotated[str, Field(min_length=1, max_length=80)]
    quantity: QuantityId
    kind: Literal["drops", "strip", "meter"] = "drops"
    basis: Basis | None = None
    unit: str
    steps: tuple[float, ...] = ()
    low_open: bool = True
    high_open: bool = True
    wait_minutes: Annotated[float, Field(ge=0, le=120)] = 0.0

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        check_unit("unit", self.quantity, self.unit)
        if any(later <= earlier for earlier, later in zip(self.steps, self.steps[1:], strict=False)):
            raise GardenError("steps", list(self.steps), tr("steps must rise"))
        if self.kind != "meter" and len(self.steps) < 2:
            raise GardenError("steps", list(self.steps), tr("a kit of drops or strips needs two steps or more"))
        return self

    def interval(self, step: float) -> tuple[float | None, float | None]:
        """Return (low, high) in the kit's own unit for the step that matched; None = open.

        Halfway to each neighbour; a lowest step of zero starts at zero.

        Raises
        ------
        GardenError
            If the kit has no such step.
        """
        place = bisect_left(self.steps, step)
        if place == len(self.steps) or self.steps[place] != step:
            steps = current().row(self.steps)
            raise GardenError("step", step, tr("this kit has the steps {steps}").format(steps=steps))
        low: float | None = step if not self.low_open else None
        high: float | None = step if not self.high_open else None
        if place > 0:
            low = (self.steps[place - 1] + step) / 2
        elif step == 0:
            low = 0.0
        if place < len(self.steps) - 1:
            high = (step + self.steps[place + 1]) / 2
        return low, high
