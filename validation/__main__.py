"""Run the validation and write its page: ``python -m validation``."""

from validation.report import main

main()
