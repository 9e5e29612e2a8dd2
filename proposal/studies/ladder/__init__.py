"""Every voltage that is set, cut at, or rested at, on one axis."""
