"""What is known: data tables, their sources and grades; no behaviour."""
