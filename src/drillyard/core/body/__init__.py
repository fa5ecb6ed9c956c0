"""The computed patient."""
