"""Files that people write."""
