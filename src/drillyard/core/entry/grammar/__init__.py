"""The grammar: one module a kind of care, each a few functions that read the rest of a line."""
