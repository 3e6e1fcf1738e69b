"""One published figure against the model: what was printed, what the model's members say, and what that comes to."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Check:
    """A window or point as printed beside the model's 8-in-10 range.

    Attributes
    ----------
    printed : two floats
        The window as printed; twice the same where one value is.
    members : (members,)
        What each member makes of it; nan where it did not happen within the run.
    blind : bool
        The figure had no part in setting the model's medians.
    """

    id: str
    what: str
    unit: str
    printed: tuple[float, float]
    members: np.ndarray
    source: str
    blind: bool = True
    note: str = ""

    @property
    def range(self) -> tuple[float, float, float]:
        """The model's 10, 50 and 90 per cent points; members that never got there count as late."""
        late = np.where(np.isnan(self.members), np.inf, self.members)
        low, middle, high = np.quantile(late, [0.1, 0.5, 0.9], method="nearest")
        return float(low), float(middle), float(high)

    @property
    def verdict(self) -> str:
        """Give `inside` (the middle lies in the window), `touches` (the range meets it) or `misses`."""
        low, middle, high = self.range
        first, last = self.printed
        if first <= middle <= last:
            return "inside"
        return "touches" if low <= last and first <= high else "misses"
