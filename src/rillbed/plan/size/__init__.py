"""Size a loop from appetite, space or fish: several loops side by side, and the limit that stops each."""

from rillbed.plan.size.answer import Option as Option
from rillbed.plan.size.answer import Sizing as Sizing
from rillbed.plan.size.answer import Stage as Stage
from rillbed.plan.size.answer import Use as Use
from rillbed.plan.size.size import size as size
from rillbed.plan.size.wish import Wish as Wish
