"""Real, discrete parts: the catalogue built from a price book and the parts of a spec."""
