"""The stepping of the days: one source that runs as plain Python on lists and, compiled, on arrays."""
