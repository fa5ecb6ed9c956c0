"""Vessels: systemic and pulmonary circulation, bleeding, posture."""
