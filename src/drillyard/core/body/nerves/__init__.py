"""Nerves: reflexes of the circulation, control of breathing, brain oxygen and consciousness."""
