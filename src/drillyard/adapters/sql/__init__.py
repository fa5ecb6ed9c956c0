"""The lab database."""
