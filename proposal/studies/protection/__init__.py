"""Which fuses stand between each conductor and everything that can feed a fault on it. Topology only, no sizes."""
