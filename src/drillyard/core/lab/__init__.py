"""Rules of the lab: what a real session needs before it starts and before it closes, and who has met which case.

People are opaque ids here; what they are called is kept by the service.
"""
