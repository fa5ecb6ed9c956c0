"""The body held against published values."""
