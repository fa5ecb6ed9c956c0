"""Simulated crews and their playing of a case without a room."""
