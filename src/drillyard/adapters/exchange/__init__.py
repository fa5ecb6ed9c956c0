"""Schemas and formats of others."""
