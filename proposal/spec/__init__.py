"""What the installer writes: one frozen model per section, in the words people use, read into numbers with units."""
