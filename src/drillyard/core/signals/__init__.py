"""What sensors, eyes, hands and ears get from the body."""
