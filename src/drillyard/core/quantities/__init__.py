"""Signals, units, citations and faults: the words and numbers that all other parts use."""
