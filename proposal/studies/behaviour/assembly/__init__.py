"""Circuit → machine: ports of the network, banks by season, charge sources, relays, loads in groups."""
