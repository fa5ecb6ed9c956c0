"""Heart: four chambers in a pericardium, and the timing of their beat."""
