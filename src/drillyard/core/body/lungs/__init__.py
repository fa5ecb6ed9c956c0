"""Lungs: airway, mechanics of two lungs and the chest, gas exchange, oxygen devices."""
