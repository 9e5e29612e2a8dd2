"""First current when a relay joins two sides at different voltages."""
