"""Written experiments, by subject.  Each says in plain code what was done to the patient and what was read."""
