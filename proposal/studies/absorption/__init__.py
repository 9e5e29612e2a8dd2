"""The last hours of charging: sources at their set voltage, lead banks nearly full, lithium full and out of the way."""
