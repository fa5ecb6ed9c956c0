"""The pure core: no clock, disk, network, database, thread or global randomness."""
