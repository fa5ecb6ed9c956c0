"""Manikin profiles and coverage."""
