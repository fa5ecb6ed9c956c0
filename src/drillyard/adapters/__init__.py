"""Technique behind the ports: database, files, prints, exchange formats."""
