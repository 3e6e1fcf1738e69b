"""One relation family per file: pure functions of arrays."""
