"""What an expert would object to, by topic."""
