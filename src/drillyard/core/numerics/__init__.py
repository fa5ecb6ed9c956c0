"""Arithmetic that gives the same bits everywhere, and the assembler that makes the body fast."""
