"""Surface: what can be seen, felt, heard and read from a sensor."""
