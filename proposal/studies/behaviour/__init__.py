"""What happens when over days and years: the circuit's one reduction, driven by weather, use and charge sources."""
