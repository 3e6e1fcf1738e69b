"""What the log says about the members: a fit to coarse readings, and the forecast of the members it believes."""

from rillbed.fit.ahead import forecast
from rillbed.fit.posterior import Posterior
from rillbed.fit.refit import fit

__all__ = ["Posterior", "fit", "forecast"]
