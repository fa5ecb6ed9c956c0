"""The place where all reflexes, drugs, problems and holds meet, a module for each kind of effector.

Each effector of the circulation and of breathing is composed here once every 50 ms, the tick at which commands act, and
held until the next: rate and strength of the heart (``heart``), conductance of each bed and unstressed volume of veins
(``vessels``), lung vessels (``lungs``), oxygen demand (``demand``).

Drugs and the body's own nerves meet at the receptor: share occupied = 1 - (1 - nerves)(1 - drug) (``receptor``), so
that together they never exceed the full effect.  A hold replaces the effector with a weight that moves over three
seconds (``holds``); the reflex branch behind it goes on running, so that release is smooth.
"""
