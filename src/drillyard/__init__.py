"""Drillyard: free software for the person who runs a patient-simulation lab."""
