"""Fluids: plasma, red cells, infusions, exchange with the tissues, urine."""
