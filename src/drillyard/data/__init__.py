"""Data that ships with Drillyard."""
