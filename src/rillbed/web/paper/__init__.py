"""Sheets to print: the week, the log, cards for trouble, and one for whoever minds the loop."""
