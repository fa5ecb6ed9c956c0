"""Arrest: the heart's own oxygen, rhythm, chest compressions, shocks."""
