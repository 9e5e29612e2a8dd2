"""A day's balance by season, how long the banks last, how long charging takes, what drains a vessel at rest."""
