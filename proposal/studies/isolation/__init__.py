"""In which order a system is taken apart and brought back to life, and what a meter must show on the way."""
