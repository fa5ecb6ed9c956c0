"""Use cases: live rooms, queries, ports."""
