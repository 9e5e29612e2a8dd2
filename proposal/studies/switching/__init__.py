"""What contactors, relays and switches carry, make and break; capacitors behind them; sources that lose a battery."""
