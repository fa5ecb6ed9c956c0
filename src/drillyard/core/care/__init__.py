"""What can be wrong with a patient and what a crew can do: the shared vocabulary."""
