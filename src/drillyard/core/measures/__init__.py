"""Measures: numbers computed from the log, each with definition, source and uncertainty."""
