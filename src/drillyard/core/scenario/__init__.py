"""Scenario files: model, checks, rules."""
