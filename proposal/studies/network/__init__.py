"""The one reduction of a circuit: for a case and its temperatures, resistances, sources and ports; and its solution."""
