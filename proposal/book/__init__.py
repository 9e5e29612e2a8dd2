"""Pages as typed blocks, sentences and formatting: what the results say in words."""
