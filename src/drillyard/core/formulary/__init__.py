"""Drug files as checked parameters."""
